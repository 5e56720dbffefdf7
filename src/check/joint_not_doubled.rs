//! A joint over one member where the design asks for two.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::run_too_long::place;
use super::{Check, Run, Verdict, mends};
use crate::design::JointKind;
use crate::lattice::End;

/// The check.
pub const CHECK: Check = Check {
    name: "joint-not-doubled",
    title: "Where doubled joints are asked for, do they stand over two members?",
    page: "\
What
  Joints over one member where `lattice.batten.joint` is \"doubled\": said once, with their number and the first of them.
Why
  Over one member a joint's fasteners come near the ends of both boards and near both sides of the member.
How computed
  A stretch of a course is divided over doubled members only; where boards of the stock do not reach from one to the next,
  over any member, as with \"butt\". Counted are the joints that then have no two members side by side under them, less than
  6 mm apart, as found.
Limits
  Where one joint of a stretch finds no doubled member, all joints of that stretch are placed as with \"butt\".
Source
  `lattice.batten.joint`.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let asked = &ctx.design.lattice.batten.joint;
    if asked.value != JointKind::Doubled {
        return;
    }
    let mut joints = 0;
    report.examined(&[crate::parts::Kind::Batten]);
    let mut single = 0;
    let mut first = None;
    for on in &ctx.slopes {
        for pair in on.lattice.pieces.windows(2) {
            // Said of a joint at its left piece.
            let (left, right) = (&pair[0], &pair[1]);
            let End::Joint { line } = left.ends.1 else { continue };
            joints += 1;
            let Some(line) = on.lattice.lines.get(line as usize).filter(|l| !l.is_doubled(left.y)) else { continue };
            single += 1;
            for piece in [left, right] {
                report.also(Verdict::Warn, piece.name.clone());
            }
            first.get_or_insert_with(|| {
                let at = place(ctx, on, left, (left.x.1 + right.x.0) / 2.0);
                (vec![left.name.clone(), right.name.clone(), line.name.clone()], at)
            });
        }
    }
    let Some((parts, at)) = first else { return };
    let message = format!(
        "joints over doubled members are asked for; {single} of {joints} {} not over two members: boards of the stock do \
         not reach from one doubled member to the next; the first is that of {} and {} on {}",
        if single == 1 { "is" } else { "are" },
        parts[0],
        parts[1],
        parts[2]
    );
    let evidence = vec![Evidence::count("joints over one member", single, 0)];
    let helps = || {
        vec![
            mends::set_word("lattice.batten.joint", "\"butt\"", "ask for joints over one member, as they are").into(),
            mends::advice(
                "double the rafter under each joint, or buy boards that reach from one doubled rafter to the next",
            ),
        ]
    };
    report.add(Verdict::Warn, message, parts, at, evidence, helps, Source::of(asked));
}
