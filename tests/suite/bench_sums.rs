//! The bench sheet as it is printed, added up: widths, clamps, force and the clock. Reads the text
//! and nothing else, with figures of its own; shares no code with what prints it.

use crate::bench_jobs::{Job, example, made_up, printed};

fn fail<T>(why: impl Into<String>) -> Result<T, String> {
    Err(why.into())
}

/// The figure at the beginning of a text, as `1 7/16`, `-3/64`, `12.5`, and what follows it.
fn figure(text: &str) -> Option<(f64, &str)> {
    let text = text.trim_start();
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || " -/.".contains(c))).unwrap_or(text.len());
    let (said, rest) = text.split_at(end);
    let said = said.trim();
    let (sign, said) = said.strip_prefix('-').map_or((1.0, said), |s| (-1.0, s));
    let mut sum = 0.0;
    if said.is_empty() {
        return None;
    }
    for part in said.split(' ') {
        sum += match part.split_once('/') {
            Some((top, bottom)) => top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?,
            None => part.parse::<f64>().ok()?,
        };
    }
    Some((sign * sum, rest))
}

/// A length in the job's units, with its mark.
fn length(text: &str, metric: bool) -> Result<f64, String> {
    match figure(text) {
        Some((value, rest)) if rest.trim_start().starts_with(if metric { "mm" } else { "\"" }) => {
            Ok(value)
        }
        _ => fail(format!("no length: {text}")),
    }
}

/// A number of any sort at the beginning.
fn number(text: &str) -> Result<f64, String> {
    figure(text).map(|f| f.0).ok_or(format!("no number: {text}"))
}

/// Minutes and seconds, as `9:59 min`, in seconds.
fn time(text: &str) -> Result<u64, String> {
    let said = text.split(" min").next().unwrap_or_default();
    let said = said.rsplit(' ').next().unwrap_or_default();
    let (m, s) = said.split_once(':').ok_or(format!("no time: {text}"))?;
    let of = |t: &str| t.trim().parse::<u64>().map_err(|_| format!("no time: {text}"));
    Ok(of(m)? * 60 + of(s)?)
}

/// A row's text behind its name, its lines joined.
fn row(sheet: &str, name: &str) -> Result<String, String> {
    let mut lines = sheet.lines().skip_while(|l| {
        !l.strip_prefix(name).is_some_and(|rest| rest.starts_with(": ") || rest.starts_with("  "))
    });
    let first = lines.next().ok_or(format!("no row {name}"))?;
    let mut all = first[name.len()..].trim_start_matches(':').trim().to_owned();
    for more in lines.take_while(|l| l.starts_with("    ")) {
        all.push(' ');
        all.push_str(more.trim());
    }
    Ok(all)
}

/// The lines of a table by its title, rows joined.
fn table(sheet: &str, title: &str) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for line in sheet.lines().skip_while(|l| !l.starts_with(title)).skip(1) {
        if line.is_empty() {
            break;
        }
        match (line.starts_with("    "), rows.last_mut()) {
            (true, Some(last)) => {
                last.push(' ');
                last.push_str(line.trim());
            }
            _ => rows.push(line.to_owned()),
        }
    }
    rows
}

fn close(a: f64, b: f64, by: f64, what: &str) -> Result<(), String> {
    if (a - b).abs() <= by { Ok(()) } else { fail(format!("{what}: {a} and {b}")) }
}

fn ensure(good: bool, what: impl Fn() -> String) -> Result<(), String> {
    if good { Ok(()) } else { Err(what()) }
}

/// The strips of a row of the first table that lie in a blade, or in the loom.
fn strips(sheet: &str, job: &Job, blade: bool) -> Result<Vec<f64>, String> {
    let mut found = Vec::new();
    let mut before = 0;
    for row in table(sheet, "Strips from left to right") {
        let Some((label, rest)) = row.split_once(": ") else { continue };
        let digits: String = label.chars().take_while(char::is_ascii_digit).collect();
        let Ok(number) = digits.parse::<u32>() else { continue };
        let Some((_, runs)) = rest.split_once(", runs ") else { continue };
        // Rows are counted across the blank, blade strips with their end.
        let end = &label[digits.len()..];
        ensure(
            match end {
                "A" => runs.starts_with("blade A"),
                "B" => runs.starts_with("blade B") && number == before,
                _ => end.is_empty() && runs.starts_with("through"),
            },
            || format!("row {label} runs {runs}"),
        )?;
        ensure(end == "B" || number == before + 1, || format!("row {label} after {before}"))?;
        before = number;
        if end.is_empty() || (blade && end == "A") {
            let (_, thick) = rest.split_once(", thick ").ok_or("no thickness")?;
            found.push(length(thick, job.metric)?);
        }
    }
    Ok(found)
}

/// Thicknesses across a blade or the loom as the job has them.
fn wanted(job: &Job, blade: bool) -> Vec<f64> {
    let mut list = Vec::new();
    for &(thick, _, centre) in job.laminations.iter().filter(|l| blade || l.1) {
        list.push(thick);
        if !centre {
            list.insert(0, thick);
        }
    }
    list
}

/// Laminations and glue lines make the width.
fn check_width(sheet: &str, job: &Job, name: &str, blade: bool) -> Result<(), String> {
    let rows = table(sheet, "Across the glued blank");
    let said = rows
        .iter()
        .find_map(|r| r.strip_prefix(name).filter(|r| r.starts_with(": ") || r.starts_with("  ")))
        .ok_or(format!("no width of {name}"))?;
    let said = said.trim_start_matches([':', ' ']);
    let said = said.strip_prefix("strips ").unwrap_or(said);
    let marks = if job.metric { "mm" } else { "\"" };
    let listed = strips(sheet, job, blade)?;
    ensure(listed == wanted(job, blade), || format!("strips {listed:?}"))?;
    // Every strip, the sum where there are several, the glue lines, the width.
    let mut rest = said;
    let mut figures = Vec::new();
    while let Some((value, more)) = figure(rest.trim_start_matches(|c: char| !c.is_ascii_digit())) {
        figures.push((value, more.trim_start().starts_with(marks)));
        rest = more;
    }
    let several = listed.len() > 1;
    let sum: f64 = listed.iter().sum();
    let mut at = figures.iter();
    let mut next = || at.next().map(|f| f.0).ok_or("too few figures");
    for thick in &listed {
        close(next()?, *thick, 1e-6, "strip in the sum")?;
    }
    if several {
        close(next()?, sum, 1e-6, "strips added up")?;
    }
    #[allow(clippy::cast_precision_loss)]
    let joints = (listed.len() - 1) as f64;
    close(next()?, joints, 0.0, "glue lines")?;
    let line = next()?;
    let together = next()?;
    // A line is in mm; 1/64 in or a tenth of a mm is as fine as it is shown.
    let (exact, fine) =
        if job.metric { (joints * line, 0.051) } else { (joints * line / 25.4, 1.0 / 127.0) };
    close(together, exact, fine, "glue lines together")?;
    close(next()?, sum + together, 1e-6, "width")
}

/// Places, number, spacing and force of the clamps of one stretch; gives bar and small clamps.
fn check_clamps(
    sheet: &str,
    job: &Job,
    name: &str,
    long: f64,
    times: f64,
) -> Result<(f64, f64), String> {
    let of = |what: &str| row(sheet, &format!("{name}, {what}"));
    let inch = if job.metric { 25.4 } else { 1.0 };
    close(length(&of("length")?, job.metric)?, long, 0.006, "length")?;
    let list = |text: &str| -> Result<Vec<f64>, String> {
        let text = text.split(" from ").next().unwrap_or_default();
        text.split(", ").map(|t| length(t, job.metric)).collect()
    };
    let places = list(&of("places of the clamps")?)?;
    let said = of("bar clamps")?;
    let count = number(&said)?;
    #[allow(clippy::cast_precision_loss)]
    let many = places.len() as f64;
    close(count, many, 0.0, "number of clamps")?;
    let first = length(said.split("the first ").nth(1).ok_or("no first")?, job.metric)?;
    let every = length(said.split("then every ").nth(1).ok_or("no spacing")?, job.metric)?;
    close(first, places[0], 1e-9, "first clamp")?;
    ensure(first >= 1.5 * inch && first <= 2.0 * inch, || format!("first clamp at {first}"))?;
    for pair in places.windows(2) {
        ensure(pair[1] > pair[0], || format!("places {pair:?}"))?;
        close(pair[1] - pair[0], every, 1e-6, "spacing")?;
    }
    let last = places[places.len() - 1];
    ensure(last <= long - 1.5 * inch + 1e-6, || format!("last clamp at {last} of {long}"))?;
    ensure(every <= 8.0 * inch, || format!("spacing {every}"))?;
    // 358 lb = 100 psi × 46.5 in² ÷ 13
    let said = of("each clamp presses")?;
    let force = number(&said)?;
    let pressure = number(said.split(" = ").nth(1).ok_or("no pressure")?)?;
    let area = number(said.split(" × ").nth(1).ok_or("no area")?)?;
    let by = number(said.split(" ÷ ").nth(1).ok_or("no number")?)?;
    let load = number(said.split("press ").nth(1).ok_or("no load")?)?;
    close(by, many, 0.0, "shared by")?;
    close(area, long * job.depth, area * 0.002 + 0.06, "area")?;
    // lb = psi × in²; N = MPa × mm². Pressure is shown to 1 psi or 0.01 MPa.
    let fine = if job.metric { 0.0051 } else { 0.51 };
    close(force, pressure * area / many, fine * area / many + 1.0, "force")?;
    close(load, job.load, 1.0, "a clamp's load")?;
    ensure(force <= load, || format!("{force} of {load}"))?;
    let short = of("short of pressure");
    match &short {
        Ok(_) => ensure(pressure < job.pressure, || "short of nothing".to_owned())?,
        Err(_) => close(pressure, job.pressure, fine, "pressure")?,
    }
    let flat = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    ensure(flat.contains("take stronger clamps") || short.is_err(), || "no warning".to_owned())?;
    let cauls = of("cauls, waxed or taped")?;
    close(number(&cauls)?, 2.0 * times, 0.0, "cauls")?;
    let sizes: Vec<f64> = cauls
        .split(" of ")
        .nth(1)
        .ok_or("no caul")?
        .split(" × ")
        .map(|t| length(t, job.metric))
        .collect::<Result<_, _>>()?;
    let room = if name == "the loom" { long - 0.3 * inch } else { long };
    ensure(sizes.len() == 3 && sizes[0] <= room + 1e-6, || format!("caul {sizes:?}"))?;
    let opening = length(of("jaws open")?.trim_start_matches("at least "), job.metric)?;
    let blade = name == "each blade";
    let wide: f64 = wanted(job, blade).iter().sum();
    ensure(opening >= wide + 2.0 * sizes[2] - 1e-6, || format!("opening {opening}"))?;
    let blocks = match of("alignment blocks") {
        Ok(said) => list(&said)?,
        Err(_) => Vec::new(),
    };
    for block in &blocks {
        let between = places.windows(2).any(|p| p[0] < *block && *block < p[1]);
        ensure(between, || format!("block at {block}"))?;
    }
    #[allow(clippy::cast_precision_loss)]
    let small = 2.0 * times * blocks.len() as f64;
    Ok((many * times, small))
}

/// The clock's parts make its total, and it is compared right with what the glue allows.
fn check_clock(sheet: &str, job: &Job, bars: f64, small: f64) -> Result<(), String> {
    let rows = table(sheet, "The clock");
    let of = |name: &str| {
        let found = rows.iter().find_map(|r| {
            r.strip_prefix(name).filter(|rest| rest.starts_with(": ") || rest.starts_with("  "))
        });
        found.map(|r| r.trim_start_matches([':', ' '])).ok_or(format!("no {name}"))
    };
    let parts = ["spreading", "closing", "alignment blocks", "bar clamps"];
    let times: Vec<u64> = parts.iter().map(|p| of(p).and_then(time)).collect::<Result<_, _>>()?;
    let total = time(of("in all")?)?;
    ensure(times.iter().sum::<u64>() == total, || format!("{times:?} make {total}"))?;
    let behind = |name: &str| -> Result<(f64, f64), String> {
        let rest = of(name)?.split(" min").nth(1).ok_or("no count")?;
        let rest = rest.trim_start_matches([',', ' ']);
        let each = rest.split(", ").nth(1).ok_or("no pace")?;
        Ok((number(rest)?, number(each)?))
    };
    #[allow(clippy::cast_precision_loss)]
    let hands = (job.helpers + 1) as f64;
    let mut joints = 0.0;
    let mut count = 0.0;
    for &(_, through, centre) in &job.laminations {
        let strip = if through { job.length } else { job.blade };
        let strips = match (through, centre) {
            (_, true) => 1.0,
            (true, false) => 2.0,
            (false, false) => 4.0,
        };
        joints += strip * if centre { 0.0 } else { strips };
        count += strips;
    }
    // Without a strip on the centreline the two inner ones share a joint.
    if !job.laminations[0].2 {
        joints -= if job.laminations[0].1 { job.length } else { 2.0 * job.blade };
    }
    for (name, many, at) in
        [("closing", count, 1), ("alignment blocks", small, 2), ("bar clamps", bars, 3)]
    {
        let (said, pace) = behind(name)?;
        close(said, many, 0.0, name)?;
        let hands = if at == 1 { 1.0 } else { hands };
        #[allow(clippy::cast_precision_loss)]
        close(times[at] as f64, (many / hands).ceil() * pace, 0.5, name)?;
    }
    let (_, pace) = {
        let said = of("spreading")?;
        let pace = said.rsplit(", ").next().ok_or("no pace")?;
        (0.0, number(pace)?)
    };
    let feet = joints / if job.metric { 1000.0 } else { 12.0 };
    let faces = if job.both { 2.0 } else { 1.0 };
    #[allow(clippy::cast_precision_loss)]
    close(times[0] as f64, feet * faces * pace / hands, 0.06 * feet * faces + 1.5, "spreading")?;
    let allowed = time(of("the glue allows")?)?;
    ensure(allowed == job.open * 60, || format!("{allowed} allowed"))?;
    let mut counted = total;
    if let Some(closed) = job.closed {
        counted = time(of("counted")?)?;
        #[allow(clippy::cast_precision_loss)]
        let share = (times[2] + times[3]) as f64 * job.open as f64 / closed as f64;
        #[allow(clippy::cast_precision_loss)]
        close(counted as f64, (times[0] + times[1]) as f64 + share, 1.0, "counted")?;
    }
    let says = of("the glue allows")?;
    let fits = counted <= allowed;
    ensure(says.contains("does not fit") != fits && says.contains("fit"), || says.to_owned())?;
    ensure(sheet.contains("The glue-up takes") != fits, || "the warning".to_owned())?;
    // Each way out is compared right, and told at the top where it helps.
    let top: String = sheet
        .lines()
        .skip_while(|l| !l.starts_with("! The glue-up takes"))
        .enumerate()
        .take_while(|(n, l)| *n == 0 || l.starts_with("  "))
        .map(|(_, l)| format!("{} ", l.trim()))
        .collect();
    let mut ways = 0;
    for way in rows.iter().filter(|r| r.starts_with("with ") || r.starts_with("in two stages")) {
        let mut times = way.split(" min").filter_map(|t| time(&format!("{t} min")).ok());
        let (Some(need), Some(have)) = (times.next(), times.next()) else {
            return fail(format!("no times: {way}"));
        };
        ensure(way.contains("does not fit") == (need > have), || way.clone())?;
        let what = way.split("  ").next().unwrap_or_default();
        let what = what.split(": ").next().unwrap_or_default();
        let told = ["fits", "; or"].iter().any(|w| top.contains(&format!("{w} {what}")));
        ensure(told == (need <= have), || format!("{what}: {top}"))?;
        ways += 1;
    }
    ensure(fits == (ways == 0), || format!("{ways} ways"))
}

/// Everything that adds up on one sheet.
fn check(sheet: &str, job: &Job) -> Result<(), String> {
    ensure(!sheet.contains("-0 ") && !sheet.contains("-0.0"), || "a signed nothing".to_owned())?;
    let blades = job.laminations.iter().any(|l| !l.1);
    let (mut bars, mut small) = (0.0, 0.0);
    let mut add = |(b, s): (f64, f64)| {
        bars += b;
        small += s;
    };
    if blades {
        check_width(sheet, job, "blade", true)?;
        check_width(sheet, job, "loom", false)?;
        add(check_clamps(sheet, job, "each blade", job.blade, 2.0)?);
        if wanted(job, false).len() > 1 {
            add(check_clamps(sheet, job, "the loom", job.loom, 1.0)?);
        }
    } else {
        check_width(sheet, job, "blank", false)?;
        add(check_clamps(sheet, job, "the blank", job.length, 1.0)?);
    }
    close(number(&row(sheet, "bar clamps in all")?)?, bars, 0.0, "bar clamps in all")?;
    close(number(&row(sheet, "small clamps in all")?)?, small, 0.0, "small clamps in all")?;
    check_clock(sheet, job, bars, small)
}

#[test]
fn the_example_adds_up() {
    for width in [60, 80, 100] {
        let sheet = printed(&example(), width);
        check(&sheet, &example()).unwrap_or_else(|e| panic!("{e}\n{sheet}"));
    }
}

#[test]
fn made_up_jobs_add_up() {
    let (mut metric, mut slow, mut short) = (0, 0, 0);
    for seed in 0..120 {
        let job = made_up(seed);
        let sheet = printed(&job, 100);
        check(&sheet, &job).unwrap_or_else(|e| panic!("{seed}: {e}\n{}\n{sheet}", job.paddles));
        metric += usize::from(job.metric);
        slow += usize::from(sheet.contains("does not fit"));
        short += usize::from(sheet.contains("short of pressure"));
    }
    // The jobs are of every sort.
    assert!((30..90).contains(&metric) && (20..100).contains(&slow), "{metric} {slow}");
    assert!((3..80).contains(&short), "{short}");
}

/// Damage one figure, and the sums no longer agree.
#[test]
fn a_wrong_figure_is_seen() {
    let job = example();
    let sheet = printed(&job, 100);
    assert_eq!(check(&sheet, &job), Ok(()));
    for (right, wrong) in [
        // A strip, the sum of the strips, the width.
        ("thick 9/16\"", "thick 5/8\""),
        ("= 3\" ", "= 2 15/16\" "),
        ("3 1/32\"", "3 3/64\""),
        // A clamp's place, their number, the first, the spacing.
        ("11 1/8\"", "11 1/4\""),
        ("bar clamps: 7:", "bar clamps: 6:"),
        ("the first 1 1/2\"", "the first 1 5/8\""),
        ("then every 4 13/16\"", "then every 4 3/4\""),
        // Force, area, the clamp's load.
        ("655 lb =", "675 lb ="),
        ("45.8 in²", "44.8 in²"),
        ("press 700 lb", "press 680 lb"),
        // Counts and the clock.
        ("bar clamps in all: 19", "bar clamps in all: 18"),
        ("small clamps in all: 12", "small clamps in all: 10"),
        ("closing: 1:50 min", "closing: 1:51 min"),
        ("in all: 12:43 min", "in all: 12:42 min"),
        ("the glue allows: 10:00 min, does not fit", "the glue allows: 10:00 min, fits"),
        ("7:27 min, fits", "7:27 min, does not fit"),
        ("3 7/8\", 27 15/16\" from", "1 1/2\", 27 15/16\" from"),
    ] {
        let damaged = sheet.replacen(right, wrong, 1);
        assert_ne!(damaged, sheet, "{right} is not on the sheet:\n{sheet}");
        assert!(check(&damaged, &job).is_err(), "{right} as {wrong} was not seen");
    }
}
