//! Faults of a design file: what, where, and what to do.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::quantity::visible;

/// One fault of the design file.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// What is wrong, in a sentence.
    pub message: String,
    /// The key concerned, such as `rafters[1].spacing`; empty for the file as a whole.
    pub key: String,
    /// Where, in bytes of the file.
    pub span: Range<usize>,
    /// What to do about it; may be empty.
    pub hint: String,
}

/// All faults of one file, never empty, in the order of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Faults {
    /// The file's name as the user gave it.
    pub file: String,
    /// The file's text.
    pub source: String,
    /// The faults.
    pub faults: Vec<Diagnostic>,
}

/// Line and column, both from 1; the column counts characters.
pub fn line_column(source: &str, at: usize) -> (usize, usize) {
    let at = (0..=at.min(source.len())).rev().find(|i| source.is_char_boundary(*i)).unwrap_or(0);
    let before = &source[..at];
    let line = before.matches('\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |i| i + 1);
    (line, before[start..].chars().count() + 1)
}

/// A text and where its lines begin, so that places are counted once and not from the start for each.
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    source: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// The lines of a text.
    pub fn of(source: &'a str) -> Lines<'a> {
        Lines { source, starts: std::iter::once(0).chain(source.match_indices('\n').map(|(i, _)| i + 1)).collect() }
    }

    /// The line in which a byte stands, from 1.
    pub fn line(&self, at: usize) -> usize {
        self.starts.partition_point(|start| *start <= at)
    }

    /// The text of a line, counted from 1, and the byte at which it begins.
    fn text(&self, line: usize) -> (&'a str, usize) {
        let end = self.starts.get(line).copied().unwrap_or(self.source.len());
        let start = line.checked_sub(1).and_then(|i| self.starts.get(i)).copied().unwrap_or(end);
        (&self.source[start..end], start)
    }
}

impl Faults {
    /// The faults as text: each with file, line, column, key, a picture of the line and a hint. Nothing of what somebody
    /// wrote reaches a terminal as a command to it.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        let mut text = String::new();
        // What is shown in its place is as long, so that spans stay true.
        let (source, file) = (visible(&self.source), visible(&self.file));
        let lines = Lines::of(source.as_ref());
        for fault in &self.faults {
            let [message, hint, key] = [&fault.message, &fault.hint, &fault.key].map(|t| visible(t));
            let span = self.on_characters(&fault.span);
            let line = lines.line(span.start);
            let (text_of_line, from) = lines.text(line);
            let span = span.start - from..span.end - from;
            let column = self.source[from..from + span.start].chars().count() + 1;
            let label = if key.is_empty() { "here" } else { &key };
            let snippet = Snippet::source(text_of_line)
                .line_start(line)
                .path(file.as_ref())
                .annotation(AnnotationKind::Primary.span(span).label(label));
            let mut group = Group::with_title(Level::ERROR.primary_title(message.as_ref())).element(snippet);
            if !hint.is_empty() {
                group = group.element(Level::HELP.message(hint.as_ref()));
            }
            text.push_str(&renderer.render(&[group]));
            let key = if key.is_empty() { String::new() } else { format!(", key {key}") };
            text.push_str(&format!("\n  at {file} line {line}, column {column}{key}\n\n"));
        }
        let n = self.faults.len();
        text.push_str(&format!("{n} fault{} in {}; nothing was written\n", if n == 1 { "" } else { "s" }, file));
        text
    }

    /// The span widened to whole characters and cut to one line, so that the picture stays small.
    fn on_characters(&self, span: &Range<usize>) -> Range<usize> {
        let len = self.source.len();
        let start = (0..=span.start.min(len)).rev().find(|i| self.source.is_char_boundary(*i)).unwrap_or(0);
        let end = (span.end.clamp(start, len)..=len).find(|i| self.source.is_char_boundary(*i)).unwrap_or(len);
        let line_end = self.source[start..end].find('\n').map_or(end, |i| start + i);
        start..line_end.max(start)
    }
}
