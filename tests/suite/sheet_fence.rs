//! Fence settings as a sawyer reads and sets them: the first figure, rounded or not, and never the
//! exact one behind it. The wood must last to the last strip. Boards and paddles are invented.

use crate::fixtures;
use crate::sheet_words::lengths;
use std::collections::BTreeMap;
use stripwright::choose;
use stripwright::length::{Length, Units};
use stripwright::plan::{Edge, Plan};
use stripwright::read::{List, boards_text, job_text};
use stripwright::shop::steps::{self, Action, Stage};

/// What a heading says to set, as it stands first: the figure behind in brackets is not looked at.
fn shown(heading: &str) -> i64 {
    let words = ["jig ", "fence ", "sled: line ", "up to a line "];
    let figure = words.iter().find_map(|word| {
        let rest = &heading[heading.find(word)? + word.len()..];
        rest.starts_with(|c: char| c.is_ascii_digit()).then_some(rest)
    });
    let figure = figure.unwrap_or_else(|| panic!("no setting: {heading}"));
    let figure = figure.split(" (exact").next().unwrap();
    lengths(figure)[0]
}

/// A job in inches with boards and laminations in mm, or the other way about.
fn job(seed: i64, units: Units) -> (String, String) {
    let pick = |n: i64, of: i64| (seed * 7919 + n * 104_729).rem_euclid(of);
    let (rip, resaw, edge) = match units {
        Units::Inch => ("1/8", "1/16", "1/8"),
        Units::Mm => ("3.2", "1.6", "3"),
    };
    let mut boards =
        "board,species,length,width,thickness,rings,crook,zone,from,to,near,far\n".to_owned();
    for b in 0..3 {
        let size = |n: i64, least: i64, span: i64| match units {
            Units::Inch => format!("{}.{} mm", least + pick(n + b, span), pick(n + b + 1, 10)),
            Units::Mm => format!("{}/64 in", (least + pick(n + b, span)) * 5 / 2),
        };
        let (length, width, thick) = (size(1, 1100, 300), size(4, 68, 110), size(9, 38, 9));
        let crook = if pick(b + 12, 3) == 0 { "3 mm" } else { "" };
        boards += &format!(
            "B{b},alder,{length},{width},{thick},{},{crook},,,,,\n",
            [80, 5][pick(b, 2) as usize]
        );
        if pick(b + 20, 2) == 0 {
            boards += &format!(
                "B{b},,,,,,,knot,500 mm,520 mm,{} mm,{} mm\n",
                20 + pick(b, 30),
                55 + pick(b, 9)
            );
        }
    }
    let thick = |n: i64| match units {
        Units::Inch => format!("{}.{} mm", 6 + pick(n, 9), pick(n + 1, 10)),
        Units::Mm => format!("{}/64 in", 15 + pick(n, 25)),
    };
    let text = format!(
        "units = \"{units}\"\n[shop]\nrip_kerf = \"{rip}\"\ncrosscut_kerf = \"{rip}\"\nresaw_kerf = \"{resaw}\"\n\
         edge = \"{edge}\"\nfar_edge = 0\nboard_end = \"{edge}\"\nmin_rip = \"300 mm\"\n\
         [[paddle]]\nname = \"p\"\nlength = \"900 mm\"\nloom = \"300 mm\"\nthickness = \"30 mm\"\ntrim = 0\nrings = 45\n\
         [[paddle.lamination]]\nname = \"spine\"\nthickness = \"{}\"\nruns = \"through\"\ncentre = true\n\
         [[paddle.lamination]]\nname = \"side\"\nthickness = \"{}\"\nruns = \"through\"\n\
         [[paddle.lamination]]\nname = \"edge\"\nthickness = \"{}\"\nruns = \"blade\"\n",
        thick(31),
        thick(37),
        thick(41)
    );
    (boards, text)
}

/// Sets every fence as it is told and saws: where the last piece of each section and of each rip then
/// ends, against the wood there is. Gives how many settings were rounded, and how many were not
/// though a rule can't show them.
fn saw(
    plan: &Plan,
    boards: &[stripwright::lumber::Board],
    job: &stripwright::paddle::Job,
) -> [usize; 2] {
    let checked = fixtures::passed(plan, job, boards);
    let (mut rounded, mut unrounded) = (0, 0);
    // Three digits of a millimetre are told: half of the last may be too much, at each cut.
    let hair = 40 * 12;
    for of_board in steps::steps(&checked, job, boards) {
        let cut = plan
            .boards
            .iter()
            .find(|c| (c.board, c.copy) == (of_board.board, of_board.copy))
            .unwrap();
        let board = &boards[cut.board];
        let mut moved: BTreeMap<usize, i64> = BTreeMap::new();
        let mut taken: BTreeMap<(usize, usize), i64> = BTreeMap::new();
        let mut far: BTreeMap<usize, i64> = BTreeMap::new();
        let mut planed: BTreeMap<usize, i64> = BTreeMap::new();
        for group in &of_board.groups {
            for step in &group.steps {
                match step.action.clone() {
                    Action::Plane { section, to, .. } => {
                        planed.insert(section, to.units());
                    }
                    Action::Rip { section, edge, fence, .. }
                    | Action::Far { section, edge, fence } => {
                        let set = shown(&group.heading);
                        let line = group.heading.contains("up to a line ");
                        let kerf = job.shop.kerf(cut.sections[section].follows(board)).units();
                        let fence = fence.units() + if line { kerf } else { 0 };
                        assert!(set >= fence - 40, "too narrow: {}", group.heading);
                        let more = (set - fence).max(0);
                        rounded += usize::from(more > 40);
                        let odd = fence % (Length::INCH.units() / 64) != 0 && fence % 8_000 != 0;
                        unrounded += usize::from(odd && more <= 40);
                        let over = moved.entry(section).or_default();
                        *over += more;
                        if matches!(step.action, Action::Far { .. }) {
                            far.insert(section, edge.units() + fence + more);
                            *over -= more;
                        }
                    }
                    Action::Resaw { section, rip, fence, .. } => {
                        let set = shown(&group.heading);
                        assert!(set >= fence.units() - 40, "too thin: {}", group.heading);
                        *taken.entry((section, rip)).or_default() += (set - fence.units()).max(0);
                    }
                    _ => assert!(group.stage != Stage::Rip || step.text.len() > 3),
                }
            }
        }
        for (section, over) in moved {
            let s = &cut.sections[section];
            let last = s.rips.last().unwrap();
            let crowned = s.edge == Edge::Lined && board.crook < Length::ZERO;
            let length = s.to - s.from;
            let gap = if crowned { board.crook().loss(length).units() } else { 0 };
            let limit = far.get(&section).copied().unwrap_or(board.width.units() - gap);
            assert!(
                last.far.units() + over <= limit + hair,
                "{} section {section}: {over} too much",
                board.name
            );
        }
        for ((section, rip), over) in taken {
            let s = &cut.sections[section];
            let kerf = job.shop.resaw_kerf.unwrap_or_default().units();
            let leaves = &s.rips[rip].leaves;
            let stack: i64 = leaves.iter().map(|l| l.thickness.units() + kerf).sum::<i64>() - kerf;
            let thick = planed.get(&section).copied().unwrap_or(board.thickness.units());
            assert!(
                stack + over <= thick + hair,
                "{} rip {rip}: {over} too much of {thick}",
                board.name
            );
        }
    }
    [rounded, unrounded]
}

#[test]
fn what_is_set_never_takes_wood_that_is_not_there() {
    for units in [Units::Inch, Units::Mm] {
        let (mut planned, mut all) = (0, [0, 0]);
        for seed in 1..=60 {
            let (boards, text) = job(seed, units);
            let job = job_text("p.toml", &text).unwrap();
            let boards = boards_text("b.csv", &boards, job.units, List::OnHand).unwrap();
            let Ok(plan) = choose::plan(&job, &boards, &Default::default()) else { continue };
            planned += 1;
            let told = saw(&plan, &boards, &job);
            all = [all[0] + told[0], all[1] + told[1]];
        }
        assert!(planned > 15 && all[0] > 20 && all[1] > 20, "{units}: {planned} jobs, {all:?}");
    }
}

/// The plan as it is sawn with the settings as they are told: each rip lies as much farther in as the
/// cuts before it, and its own, were rounded up by. Gives how far all were moved.
fn as_sawn(
    plan: &Plan,
    boards: &[stripwright::lumber::Board],
    job: &stripwright::paddle::Job,
) -> (Plan, Length) {
    let checked = fixtures::passed(plan, job, boards);
    let (mut sawn, mut all) = (plan.clone(), Length::ZERO);
    for of_board in steps::steps(&checked, job, boards) {
        let same = |cut: &&mut stripwright::plan::CutBoard| {
            (cut.board, cut.copy) == (of_board.board, of_board.copy)
        };
        let cut = sawn.boards.iter_mut().find(same).unwrap();
        let mut moved: BTreeMap<usize, Length> = BTreeMap::new();
        for group in &of_board.groups {
            for step in &group.steps {
                let Action::Rip { section, rip, fence, .. } = step.action else { continue };
                let line = group.heading.contains("up to a line ");
                let part = &mut cut.sections[section];
                let kerf = job.shop.kerf(part.follows(&boards[cut.board]));
                let fence = if line { fence + kerf } else { fence };
                let more = Length::from_units(shown(&group.heading)) - fence;
                // Three digits of a millimetre are told.
                let more = if more.units() > 40 { more } else { Length::ZERO };
                let over = moved.entry(section).or_default();
                *over += more;
                all += more;
                if let Some(rip) = rip.map(|r| &mut part.rips[r]) {
                    (rip.near, rip.far) = (rip.near + *over, rip.far + *over);
                }
            }
        }
    }
    (sawn, all)
}

/// Zones with margins, lifted in straight-lined sections, and the far edge that is kept off stand
/// where they stand whatever is rounded.
#[test]
fn what_is_set_touches_no_zone_and_no_edge_that_is_kept_off() {
    let (mut planned, mut moved) = (0, Length::ZERO);
    for (seed, units) in (1..=60).flat_map(|s| [(s, Units::Inch), (s, Units::Mm)]) {
        let (boards, text) = job(seed, units);
        let margin = ["", "[shop.margin]\nknot = { along = \"30 mm\", across = \"7 mm\" }\n"]
            [usize::from(seed % 3 > 0)];
        let text = text
            .replace("far_edge = 0", "far_edge = \"4 mm\"\nstraight = \"9 mm\"")
            .replacen("[[paddle]]", &format!("{margin}[[paddle]]"), 1);
        let mut lines: Vec<String> =
            boards.replace(",3 mm,", ",17 mm,").lines().map(Into::into).collect();
        for b in 0..3 {
            let near = 1 + (seed * 31 + b * 17).rem_euclid(14);
            let from = 120 + (seed * 97 + b * 211).rem_euclid(800);
            lines.push(format!(
                "B{b},,,,,,,knot,{from} mm,{} mm,{near} mm,{} mm",
                from + 15,
                near + 1 + seed % 7
            ));
        }
        let job = job_text("p.toml", &text).unwrap();
        let boards = boards_text("b.csv", &lines.join("\n"), job.units, List::OnHand).unwrap();
        let Ok(plan) = choose::plan(&job, &boards, &Default::default()) else { continue };
        planned += 1;
        let (sawn, over) = as_sawn(&plan, &boards, &job);
        moved += over;
        if let Err(faults) = stripwright::verify::verify(sawn, &job, &boards) {
            panic!("seed {seed}, {units}: {faults:#?}");
        }
    }
    assert!(planned > 40 && moved > Length::ZERO, "{planned} {moved:?}");
}

/// A rip lies close below a knot that the section's own curve lifts, or that ends beyond the section
/// and whose margin reaches into it; a strip of 900 mm as thick as `thick` and two dressings.
#[test]
fn what_is_set_touches_no_zone_lifted_or_grown_into_the_section() {
    let of = |thick: &str, [width, crook]: [&str; 2], knot: String, margin: &str| {
        let text = format!(
            "units = \"in\"\n[shop]\nrip_kerf = \"1/8\"\nedge = \"1/8\"\nfar_edge = \"1/8\"\n\
             board_end = 0\nmin_rip = \"300 mm\"\ndress = \"0.4 mm\"\nplane = 0\n{margin}\n\
             [[paddle]]\nname = \"p\"\nlength = \"900 mm\"\nloom = \"300 mm\"\n\
             thickness = \"30 mm\"\ntrim = 0\nrings = 45\n[[paddle.lamination]]\n\
             name = \"side\"\nthickness = \"{thick}\"\nruns = \"through\"\n"
        );
        let board = format!(
            "board,species,length,width,thickness,rings,crook,zone,from,to,near,far\n\
             b,alder,1100 mm,{width},30 mm,80,{crook},,,,,\nb,,,,,,,knot,{knot}\n"
        );
        let job = job_text("p.toml", &text).unwrap();
        let boards = boards_text("b.csv", &board, job.units, List::OnHand).unwrap();
        let plan = choose::plan(&job, &boards, &Default::default()).unwrap();
        let (sawn, over) = as_sawn(&plan, &boards, &job);
        if let Err(faults) = stripwright::verify::verify(sawn, &job, &boards) {
            panic!("{knot}: {faults:#?}");
        }
        let rips = &plan.boards[0].sections[0].rips;
        assert!(rips.len() == 2 && over == Length::ZERO, "{rips:?}");
    };
    for n in 0..5 {
        // The chord stands 30·(900/1100)² = 20.08 mm off midway, so that the first rip lies 23.26 to
        // 42.56 mm from it, and the knot from 42.57 mm on.
        let knot = format!("440 mm,455 mm,{} mm,23.2 mm", [22.5, 22.52, 22.54, 22.56, 22.58][n]);
        of("18.5 mm", ["70 mm", "30 mm"], knot, "");
        // The first rip ends at 10.17 mm; the knot is kept clear of by 7 mm across, and 30 mm along.
        let knot = format!("910 mm,930 mm,{} mm,40 mm", [17.18, 17.2, 17.22, 17.24, 17.26][n]);
        let margin = "[shop.margin]\nknot = { along = \"30 mm\", across = \"7 mm\" }";
        of("6.2 mm", ["60 mm", ""], knot, margin);
    }
}
