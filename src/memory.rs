//! What the program tells the system about memory, once, before anything else runs.

/// Gives large blocks of memory back as soon as they are free.
///
/// Hashing a password takes one block of many MiB. Once such a block was freed, glibc raises the
/// size from which a block is mapped by itself (`M_MMAP_THRESHOLD` in mallopt(3)), keeps later
/// ones in each thread's arena, and a small server goes on holding three times what it uses.
/// Setting the size, here to glibc's own first value, ends that adjusting.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
pub fn give_back_large_blocks() {
    const BYTES: libc::c_int = 128 * 1024;
    // SAFETY: takes two numbers and is called before any other thread is there.
    let taken = unsafe { libc::mallopt(libc::M_MMAP_THRESHOLD, BYTES) };
    debug_assert_eq!(taken, 1, "glibc takes any size up to half an arena");
}

/// Other systems' allocators do not adjust themselves so.
#[cfg(not(all(target_os = "linux", target_env = "gnu")))]
pub fn give_back_large_blocks() {}
