//! The command `setup`: completions for shells and pages of the manual, from the declaration that parses the command line.

use clap::{Command, ValueEnum};
use clap_complete::Shell;

use crate::exit::Exit;
use crate::output;

/// Arguments of `setup`.
#[derive(Debug, clap::Args)]
pub(crate) struct SetupArgs {
    /// What to print
    pub what: What,
    /// With `man`: the command that the page is of; without it the page is of the program
    pub command: Option<String>,
}

/// What `setup` prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum What {
    /// Completions for bash: source them, or put them into the folder of your completions
    Bash,
    /// Completions for zsh
    Zsh,
    /// Completions for fish
    Fish,
    /// Completions for elvish
    Elvish,
    /// Completions for PowerShell
    Powershell,
    /// A page of the manual, as `man -l -` reads it
    Man,
}

/// Prints them for a command line.
pub(crate) fn setup(line: Command, args: &SetupArgs) -> Exit {
    let text = match (args.what.shell(), &args.command) {
        (Some(shell), None) => Ok(completions(line, shell)),
        (None, command) => page(line, command.as_deref()),
        (Some(_), Some(command)) => Err(format!("completions are for the whole program: leave `{command}` out")),
    };
    match text {
        Ok(text) => {
            output::print(&text);
            Exit::Done
        }
        Err(problem) => {
            anstream::eprintln!("error: {problem}");
            Exit::BadInput
        }
    }
}

impl What {
    fn shell(self) -> Option<Shell> {
        Some(match self {
            What::Bash => Shell::Bash,
            What::Zsh => Shell::Zsh,
            What::Fish => Shell::Fish,
            What::Elvish => Shell::Elvish,
            What::Powershell => Shell::PowerShell,
            What::Man => return None,
        })
    }
}

fn completions(mut line: Command, shell: Shell) -> String {
    let name = line.get_name().to_owned();
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut line, name, &mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}

fn page(mut line: Command, command: Option<&str>) -> Result<String, String> {
    line.build();
    let named = match command {
        None => line,
        Some(name) => {
            let found = line.find_subcommand(name).cloned();
            let full = format!("{}-{name}", line.get_name());
            found
                .ok_or_else(|| {
                    let near = sim_core::problem::did_you_mean(name, line.get_subcommands().map(Command::get_name));
                    let help = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
                    format!("there is no command `{name}`{help}")
                })?
                .name(full)
        }
    };
    let mut bytes = Vec::new();
    clap_mangen::Man::new(named).render(&mut bytes).map_err(|cause| cause.to_string())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All that may be typed, of the program and of each command: long options and commands. Both come from one declaration, so
    /// what is missing was lost on the way.
    #[test]
    fn identity_completions_and_manual_know_each_command_and_each_option() {
        let line = crate::command();
        let mut built = line.clone();
        built.build();
        let shells = [What::Bash, What::Zsh, What::Fish, What::Elvish, What::Powershell];
        let texts: Vec<String> =
            shells.iter().filter_map(|w| w.shell()).map(|s| completions(line.clone(), s)).collect();
        let program = page(line.clone(), None).unwrap();
        let mut seen = 0;
        for command in built.get_subcommands().filter(|c| c.get_name() != "help") {
            let name = command.get_name();
            assert!(texts.iter().all(|t| t.contains(name)) && program.contains(name), "{name}");
            let own = page(line.clone(), Some(name)).unwrap().replace('\\', "");
            for option in command.get_arguments().filter_map(|a| a.get_long()) {
                // Fish spells an option without its dashes.
                assert!(texts.iter().all(|t| t.contains(option)), "{name} --{option}");
                assert!(own.contains(&format!("--{option}")), "{name} --{option} is not in its page");
                seen += 1;
            }
        }
        assert!(seen > 50, "only {seen} options");
        assert!(page(line, Some("rum")).unwrap_err().contains("did you mean `run`?"));
    }
}
