//! The program's commands as a person would call them.

mod books;
mod broken;
mod decide;
mod first_hour;
mod main_job;
mod one_slip;
mod own_files;
mod rerun;
mod sample_money;
mod sheet;
mod trial_table;
mod tune;
