//! The real binary as a child process. What it prints is kept; dropping it kills it.

use std::{
    io::{BufRead, BufReader, Read},
    net::SocketAddr,
    os::unix::process::CommandExt,
    path::Path,
    process::{Child, Command, ExitStatus, Output, Stdio},
    sync::{
        Arc, Mutex,
        mpsc::{self, Receiver},
    },
    thread,
    time::{Duration, Instant},
};

use rustix::process::{Pid, Signal, kill_process};

/// Longer than any start should take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A running server.
pub struct Server {
    child: Child,
    pub address: SocketAddr,
    /// Everything it has printed so far.
    printed: Arc<Mutex<String>>,
    /// What it has written to its log so far.
    logged: Arc<Mutex<String>>,
}

/// The program, with nothing of this process's settings and a port of its own.
pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_peglore"));
    unset_settings(&mut command);
    command
        .env("PEGLORE_LISTEN", "127.0.0.1:0")
        .env("PEGLORE_PASSWORD_MEMORY_KIB", "19456");
    command
}

/// Takes our own `PEGLORE_` settings away from a command.
pub fn unset_settings(command: &mut Command) {
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("PEGLORE_")) {
        command.env_remove(name);
    }
}

/// Runs a command of the program to its end.
pub fn run(arguments: &[&str]) -> Output {
    program()
        .args(arguments)
        .output()
        .expect("the program was built beside the tests")
}

/// What a command printed, as text.
pub fn words(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

impl Server {
    /// `peglore serve` on the folder, once it answers.
    pub fn start(data: &Path) -> Self {
        let mut command = program();
        command.arg("serve").arg("--data").arg(data);
        Self::from(command)
    }

    /// A command that serves at a port known beforehand, whatever address it prints.
    pub fn at(command: Command, port: SocketAddr) -> Self {
        Self::begin(command, Some(port))
    }

    /// Any command of the program that serves, once it has printed its address.
    pub fn from(command: Command) -> Self {
        Self::begin(command, None)
    }

    fn begin(mut command: Command, port: Option<SocketAddr>) -> Self {
        let mut child = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .process_group(0)
            .spawn()
            .expect("the program was built beside the tests");
        let (printed, lines) = gathered(child.stdout.take().expect("piped"));
        let (logged, _) = gathered(child.stderr.take().expect("piped"));
        let address = listening(&lines, port).unwrap_or_else(|| {
            let _ = child.kill();
            let log = logged.lock().expect("no panic while gathering").clone();
            panic!("the server did not say where it answers; its log: {log}")
        });
        Self {
            child,
            address,
            printed,
            logged,
        }
    }

    pub fn id(&self) -> u32 {
        self.child.id()
    }

    pub fn printed(&self) -> String {
        self.printed
            .lock()
            .expect("no panic while gathering")
            .clone()
    }

    pub fn logged(&self) -> String {
        self.logged
            .lock()
            .expect("no panic while gathering")
            .clone()
    }

    /// kill -9: nothing of it runs any further.
    pub fn kill(mut self) {
        self.child.kill().expect("it is ours to kill");
        self.child.wait().expect("it ends when killed");
    }

    /// SIGTERM; how it ended, and after how long.
    pub fn terminate(mut self) -> (ExitStatus, Duration) {
        let began = Instant::now();
        self.ask_to_stop();
        let status = ended_within(&mut self.child, PATIENCE).expect("it ends when told to");
        (status, began.elapsed())
    }

    /// SIGTERM, without waiting.
    pub fn ask_to_stop(&self) {
        kill_process(Pid::from_child(&self.child), Signal::TERM).expect("it is ours to stop");
    }

    /// How it ended, when it did within `limit`.
    pub fn ended(&mut self, limit: Duration) -> Option<ExitStatus> {
        ended_within(&mut self.child, limit)
    }

    /// Has it not ended by itself?
    pub fn runs(&mut self) -> bool {
        matches!(self.child.try_wait(), Ok(None))
    }

    /// Memory in use, KiB, as the kernel counts it (`VmRSS` in proc_pid_status(5)).
    pub fn memory_kib(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.id()))
            .expect("the process runs");
        status
            .lines()
            .find_map(|line| line.strip_prefix("VmRSS:"))
            .and_then(|rest| rest.split_whitespace().next())
            .and_then(|number| number.parse().ok())
            .expect("the kernel counts it")
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits for a child's end, `None` when it takes longer than `limit`.
pub fn ended_within(child: &mut Child, limit: Duration) -> Option<ExitStatus> {
    let until = Instant::now() + limit;
    loop {
        if let Some(status) = child.try_wait().expect("a child of ours") {
            return Some(status);
        }
        if Instant::now() > until {
            return None;
        }
        thread::sleep(Duration::from_millis(2));
    }
}

/// Kills a command after this part of the time that a whole run takes; false where it had ended by
/// then. The machine is then quicker than it was, and `whole_time` shorter from now on.
pub fn killed_part_way(command: &mut Command, whole_time: &mut Duration, part: f64) -> bool {
    let began = Instant::now();
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it runs");
    if ended_within(&mut child, whole_time.mul_f64(part)).is_some() {
        *whole_time = began.elapsed();
        return false;
    }
    child.kill().expect("ours to kill");
    child.wait().expect("it ends");
    true
}

/// Reads a pipe to its end beside us, keeping the text and passing on each line.
fn gathered(pipe: impl Read + Send + 'static) -> (Arc<Mutex<String>>, Receiver<String>) {
    let text = Arc::new(Mutex::new(String::new()));
    let (line_out, lines) = mpsc::channel();
    let kept = text.clone();
    thread::spawn(move || {
        for line in BufReader::new(pipe).lines().map_while(Result::ok) {
            let mut kept = kept.lock().expect("no panic while gathering");
            kept.push_str(&line);
            kept.push('\n');
            // Nobody may be listening any more; the text is kept all the same.
            let _ = line_out.send(line);
        }
    });
    (text, lines)
}

/// The address in "Serving the club at http://127.0.0.1:40001/", or the demonstration's own line;
/// `port` where that is known and the address may be a proxy's.
fn listening(lines: &Receiver<String>, port: Option<SocketAddr>) -> Option<SocketAddr> {
    let until = Instant::now() + PATIENCE;
    while let Ok(line) = lines.recv_timeout(until.saturating_duration_since(Instant::now())) {
        let line = line.trim();
        if port.is_some() && line.starts_with("Serving the club at ") {
            return port;
        }
        let said = line.strip_prefix("Serving the club at ").unwrap_or(line);
        let bare = said
            .strip_prefix("http://")
            .and_then(|rest| rest.strip_suffix('/'));
        if let Some(Ok(address)) = bare.map(str::parse) {
            return Some(address);
        }
    }
    None
}
