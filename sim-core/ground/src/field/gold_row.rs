//! One row of a sheet of pans and bulk samples: the ground washed, the tool, and the gold by sieve class or as one weight.

use super::columns::gold as column;
use super::gold_sample::{Draft, GoldDefaults, WashedWith};
use super::sheet::{Read, Row, Sheet, SheetReader};
use washgraph_units::quantity::Basis;

/// Gold of a row: by sieve class, or weighed as a whole.
pub(super) enum Gold {
    Class(Found),
    Whole(f64),
}

/// A row of gold as read.
pub(super) struct Found {
    pub(super) through_m: f64,
    pub(super) on_m: f64,
    pub(super) colours: Option<f64>,
    pub(super) gold_kg: Option<f64>,
}

pub(super) fn read_volume(
    sheet: &Sheet,
    row: &Row,
    defaults: &GoldDefaults,
    draft: &mut Draft,
    unsaid: &mut bool,
    sheet_reader: &mut SheetReader<'_>,
) {
    let volume = sheet_reader.quantity(sheet, row, column::VOLUME_COLUMN);
    let pans = sheet_reader.not_negative(sheet, row, column::PANS);
    let pan = sheet_reader.quantity(sheet, row, column::PAN_VOLUME);
    let (Ok(volume), Ok(pans), Ok(pan)) = (volume, pans, pan) else { return };
    let read = match (volume, pans) {
        (Some(_), Some(_)) => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::PANS),
                "both a volume and pans are given",
                "give one of the two",
            );
            return;
        }
        (Some(v), None) => v,
        (None, Some(n)) => match pan.map(|p| p.si).or(defaults.pan_m3) {
            Some(pan_m3) => Read { si: n.si * pan_m3, basis: Some(Basis::Loose) },
            None => {
                sheet_reader.error(
                    sheet,
                    Some(row),
                    Some(column::PANS),
                    "pans are counted, but what a pan holds is not said",
                    "add pan_volume = \"5.5 L\" to [ground.gold] or a column pan_volume: fill the pan with a measuring jug",
                );
                return;
            }
        },
        (None, None) => return,
    };
    if !(read.si > 1.0e-5 && read.si < 1.0e6) {
        sheet_reader.error(
            sheet,
            Some(row),
            Some(column::VOLUME_COLUMN),
            "no sample has this volume",
            "volumes lie between 0.01 L and a million m3: is the unit right?",
        );
        return;
    }
    let loose = match read.basis {
        Some(Basis::Bank) => read.si * (1.0 + defaults.swell),
        Some(Basis::Loose) => read.si,
        None => {
            *unsaid = true;
            read.si
        }
    };
    match draft.volume_m3 {
        Some(v) if (v / loose - 1.0).abs() > 1e-6 => sheet_reader.error(
            sheet,
            Some(row),
            Some(column::VOLUME_COLUMN),
            "another volume stands in a row above of the same sample",
            "give the volume once a sample, or the samples different names",
        ),
        _ => draft.volume_m3 = Some(loose),
    }
}

pub(super) fn read_tool(sheet: &Sheet, row: &Row, draft: &mut Draft, sheet_reader: &mut SheetReader<'_>) {
    let Some(word) = sheet.text(row, column::WASHED) else { return };
    match WashedWith::of(word) {
        Some(tool) => draft.washed = Some(tool),
        None => sheet_reader.error(
            sheet,
            Some(row),
            Some(column::WASHED),
            format!("`{word}` is not a known way of washing"),
            format!("one of: {}", WashedWith::WORDS.iter().map(|w| w.0).collect::<Vec<_>>().join(", ")),
        ),
    }
}

pub(super) fn read_found(
    sheet: &Sheet,
    row: &Row,
    defaults: &GoldDefaults,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<Gold> {
    let through = sheet_reader.quantity(sheet, row, column::THROUGH);
    let on = sheet_reader.quantity(sheet, row, column::ON);
    let colours = sheet_reader.not_negative(sheet, row, column::COLOURS);
    let weight = sheet_reader.not_negative(sheet, row, column::WEIGHT);
    let fine = match sheet.text(row, column::GOLD).map(str::to_lowercase).as_deref() {
        None => defaults.fine,
        Some("raw") => false,
        Some("fine") => true,
        Some(other) => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::GOLD),
                format!("`{other}` is neither raw nor fine"),
                "write raw (as it lies in the pan) or fine (assayed gold)",
            );
            return None;
        }
    };
    let (through, on, colours, weight) = (through.ok()?, on.ok()?, colours.ok()?, weight.ok()?);
    let (colours, weight) = (colours.map(|r| r.si), weight.map(|r| r.si));
    let empty = colours.unwrap_or(0.0) == 0.0 && weight.unwrap_or(0.0) == 0.0;
    let (through, on) = match (through, on) {
        (Some(t), Some(o)) => (t.si, o.si),
        // A sample in which nothing was found, or a row that only gives the volume.
        _ if empty => return None,
        (None, None) if weight.is_some_and(|w| w > 0.0) => {
            if colours.is_some() {
                sheet_reader.warning(
                    sheet,
                    Some(row),
                    Some(column::COLOURS),
                    "colours counted without sieves are left out: the weight alone is read",
                    "say which sieves they passed and stayed on, if you know",
                );
            }
            return Some(Gold::Whole(if fine { weight? / defaults.fineness } else { weight? }));
        }
        (None, Some(_)) | (Some(_), None) | (None, None) => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(if through.is_none() { column::THROUGH } else { column::ON }),
                "gold without both sieves of its class",
                "say which sieve it passed and which it stayed on (the largest colour for the coarsest class), or weigh it all and leave both out",
            );
            return None;
        }
    };
    if colours.is_none() && weight.is_none() {
        sheet_reader.error(
            sheet,
            Some(row),
            None,
            "this class has neither colours nor weight",
            "add colours = 12 or weight = \"8 mg\"",
        );
        return None;
    }
    if !(on < through) {
        sheet_reader.error(
            sheet,
            Some(row),
            Some(column::ON),
            "the sieve that retains must be finer than the one that passes",
            "swap `through` and `on`",
        );
        return None;
    }
    if !(on > 1.0e-6 && through < 0.5) {
        sheet_reader.error(
            sheet,
            Some(row),
            Some(column::THROUGH),
            "gold has no such size",
            "check the units of the sieves",
        );
        return None;
    }
    let raw = if fine { weight.map(|w| w / defaults.fineness) } else { weight };
    if let (Some(n), Some(kg)) = (colours, raw)
        && (n > 0.0) != (kg > 0.0)
    {
        sheet_reader.error(
            sheet,
            Some(row),
            Some(if n > 0.0 { column::WEIGHT } else { column::COLOURS }),
            "colours without weight, or weight without colours",
            "leave the cell empty when it was not measured; 0 means that there is none",
        );
        return None;
    }
    Some(Gold::Class(Found { through_m: through, on_m: on, colours, gold_kg: raw }))
}
