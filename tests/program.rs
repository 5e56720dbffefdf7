//! What is read, written and said: design files and their faults, tables made on the roof, lists, sheets, the command line;
//! and the house itself: floors and words.

mod cli;
mod common;
mod drive_log;
mod every_fault;
mod faults;
mod floors;
mod lists;
mod marks;
mod sheets;
mod survey;
mod words;
