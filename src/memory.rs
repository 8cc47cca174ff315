//! What the program tells the system about memory: once before anything else runs, and now and then
//! while it serves.

/// Gives large blocks of memory back as soon as they are free.
///
/// Hashing a password takes one block of many MiB. Once such a block was freed, glibc raises the
/// size from which a block is mapped by itself (`M_MMAP_THRESHOLD` in mallopt(3)), keeps later
/// ones in each thread's arena, and a small server goes on holding three times what it uses.
/// Setting the size ends that adjusting. It is a MiB: what compresses a page takes a few hundred
/// KiB and is wanted again for the next one, so an arena may keep that much at its end too
/// (`M_TRIM_THRESHOLD`); asking the system for it each time costs more than it saves.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
pub fn give_back_large_blocks() {
    const BYTES: libc::c_int = 1024 * 1024;
    for what in [libc::M_MMAP_THRESHOLD, libc::M_TRIM_THRESHOLD] {
        // SAFETY: takes two numbers and is called before any other thread is there.
        let taken = unsafe { libc::mallopt(what, BYTES) };
        debug_assert_eq!(taken, 1, "glibc takes any size up to half an arena");
    }
}

/// Other systems' allocators do not adjust themselves so.
#[cfg(not(all(target_os = "linux", target_env = "gnu")))]
pub fn give_back_large_blocks() {}

/// Gives back what is free within the arenas too: what a round of fits or a large import leaves
/// behind lies in blocks too small to be mapped by themselves. Takes about a millisecond.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
pub fn give_back_the_rest() {
    // SAFETY: takes a number, locks what it walks through, and touches only what is free.
    unsafe { libc::malloc_trim(0) };
}

/// Other systems' allocators see to it themselves.
#[cfg(not(all(target_os = "linux", target_env = "gnu")))]
pub fn give_back_the_rest() {}
