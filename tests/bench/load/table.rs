//! The table that is printed at the end.

/// One line of it.
struct Line {
    what: String,
    measured: String,
    aim: String,
    met: bool,
}

#[derive(Default)]
pub struct Table {
    lines: Vec<Line>,
}

impl Table {
    /// A figure beside its aim.
    pub fn aim(&mut self, what: &str, measured: String, aim: &str, met: bool) {
        println!("{what}: {measured} (aim: {aim})");
        self.lines.push(Line {
            what: what.to_owned(),
            measured,
            aim: aim.to_owned(),
            met,
        });
    }

    /// A figure that has none.
    pub fn note(&mut self, what: &str, measured: String) {
        println!("{what}: {measured}");
        self.lines.push(Line {
            what: what.to_owned(),
            measured,
            aim: String::new(),
            met: true,
        });
    }

    pub fn missed(&self) -> usize {
        self.lines.iter().filter(|line| !line.met).count()
    }

    pub fn print(&self) {
        let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
        println!("\nLoad average as the run ended: {}", load.trim());
        println!("\n| what | measured | aim |\n|---|---|---|");
        for line in &self.lines {
            let missed = if line.met { "" } else { ", **missed**" };
            println!(
                "| {} | {} | {}{missed} |",
                line.what, line.measured, line.aim
            );
        }
    }
}
