use calamine::{DataType, Reader};
use sim_core::plant::Plant;
use sim_core::problem::Problems;
use washgraph_model::scenario::{build, open};

use crate::sheet::command::{files, of_plant};
use washgraph_view::sheet::document::Document;
use washgraph_view::sheet::prices::Prices;
use washgraph_view::sheet::tiles::{Paper, TileGrid};
use washgraph_view::sheet::{page, ruler, svg, tables};

fn plant() -> Plant {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/broken/sound.toml");
    let opened = open(&path).expect("the sound plant");
    build(&opened, &washgraph_standard_stages::registry(), &mut Problems::default()).expect("builds")
}

fn document(prices: &str) -> Document {
    of_plant(&plant(), &Prices::parse(prices).expect("prices"), Paper::A4, Some(60)).expect("books that close")
}

/// The attribute of an SVG element, as a number.
fn attribute(element: &str, name: &str) -> f64 {
    let after = element.split(&format!(" {name}=\"")).nth(1).unwrap_or_else(|| panic!("{name} in {element}"));
    after.split('"').next().and_then(|x| x.trim_end_matches("mm").parse().ok()).expect("a number")
}

#[test]
fn identity_ruler_is_100_mm_and_4_in_long_at_one_unit_a_millimetre() {
    let d = document("item,price\n");
    let drawing = d.parts.iter().flat_map(|p| &p.drawings).find(|x| x.name == d.templates[0].name).expect("template");
    for text in [ruler::svg(), svg::whole(drawing)] {
        let line = |class: &str| text.split('<').find(|e| e.contains(class)).expect("a ruler").to_string();
        for (class, mm) in [("ruler-mm", 100.0), ("ruler-in", 101.6)] {
            let line = line(class);
            assert!((attribute(&line, "x2") - attribute(&line, "x1") - mm).abs() < 1e-9);
        }
        let view: Vec<f64> = text
            .split("viewBox=\"")
            .nth(1)
            .and_then(|t| t.split('"').next())
            .expect("view")
            .split(' ')
            .map(|x| x.parse().expect("number"))
            .collect();
        let element = text.split('>').next().expect("svg");
        assert!(
            (attribute(element, "width") - view[2]).abs() < 1e-9
                && (attribute(element, "height") - view[3]).abs() < 1e-9
        );
    }
}

/// Every hole of the plate shows whole or in part on a sheet; the whole template has each of them, those on the seam twice.
#[test]
fn property_template_has_every_hole_and_the_sheets_cover_them() {
    let d = document("item,price\n");
    let t = &d.templates[0];
    let drawing = d.parts.iter().flat_map(|p| &p.drawings).find(|x| x.name == t.name).expect("template");
    let grid = drawing.grids().next().expect("holes");
    let seam = u64::from(grid.rows / 2);
    assert_eq!(svg::whole(drawing).matches("<circle").count() as u64, t.holes + seam);
    let tiles = TileGrid::of(drawing.size_m, Paper::A4);
    for (x, y) in grid.centres_m() {
        assert!(
            tiles.windows().any(|(_, _, w)| w.shows((1000.0 * x, 1000.0 * y), (0.0, 0.0)) || x == drawing.size_m.0),
            "{x} {y}"
        );
    }
    assert!((t.hole_area_m2 - t.holes as f64 * grid.opening.area_m2()).abs() < 1e-12);
}

#[test]
fn identity_weights_and_costs_of_the_bill_add_up() {
    let d = document(
        "item,size,unit,price,pace_per_h\nsteel plate,,lb,1.5,\ntorch work,,h,50,125\nperforated plate,,ft2,40,\n",
    );
    let b = &d.bill;
    let weight: f64 = b.lines.iter().filter(|l| l.counted).filter_map(|l| l.weight_kg).sum();
    assert!((weight - b.weight_kg).abs() < 1e-9 && weight > 100.0);
    let cost: f64 = b.lines.iter().filter(|l| l.counted).filter_map(|l| l.cost).sum();
    assert!((cost - b.sum).abs() < 1e-9 && b.sum > 0.0);
    for l in &b.lines {
        assert_eq!(l.cost.is_some(), l.price.is_some());
        if let (Some(price), Some(cost)) = (l.price, l.cost) {
            assert!((cost - price * l.quantity).abs() <= 0.005 + 1e-9, "{}", l.item);
        }
    }
    let torch = b.lines.iter().find(|l| l.item == "torch work").expect("torch work");
    assert_eq!(torch.pace_per_h, Some(125.0));
    assert!((torch.quantity - torch.count.expect("count") as f64 / 125.0).abs() <= 0.05);
    assert!(b.unpriced.iter().any(|n| n.starts_with("riffle mat")) && b.choices[0].words.contains("less"));
    // Nothing is priced by the program.
    let bare = document("item,price\n").bill;
    assert!(bare.lines.iter().all(|l| l.price.is_none() && l.cost.is_none()) && bare.sum == 0.0);
    assert!(bare.choices[0].words.contains("not all priced"));
}

/// Page, tables and document say the same to the printed digit.
#[test]
fn identity_page_csv_and_workbook_agree() {
    let d = document("item,unit,price\nsteel plate,lb,1.5\n");
    let json = serde_json::to_string(&d).expect("json");
    let files = files(&d, &json).expect("files");
    let file = |name: &str| files.iter().find(|(n, _)| n == name).map(|(_, b)| b.clone()).expect(name);
    let html = String::from_utf8(file("sheet.html")).expect("text");
    let mut rows = csv::Reader::from_reader(file("numbers.csv").as_slice())
        .into_records()
        .map(|r| r.expect("row"))
        .collect::<Vec<_>>();
    assert_eq!(rows.len(), d.parts.iter().map(|p| p.rows.len()).sum::<usize>());
    for row in rows.drain(..) {
        assert!(html.contains(&svg::escaped(&row[4])), "{} {}", &row[3], &row[4]);
        assert!(html.contains(&svg::escaped(&row[5])));
    }
    let bill = csv::Reader::from_reader(file("bill.csv").as_slice())
        .into_records()
        .map(|r| r.expect("row"))
        .collect::<Vec<_>>();
    for (row, line) in bill.iter().zip(&d.bill.lines) {
        assert!(html.contains(&svg::escaped(&line.quantity_words())) && row[5].parse() == Ok(line.quantity));
        if let Some(cost) = line.cost {
            assert!(html.contains(&washgraph_view::sheet::words::money(cost)) && row[6].parse() == Ok(cost));
        }
    }
    let mut book: calamine::Xlsx<_> =
        calamine::open_workbook_from_rs(std::io::Cursor::new(file("sheet.xlsx"))).expect("opens");
    for (sheet, name) in [("numbers", "numbers.csv"), ("bill", "bill.csv")] {
        let range = book.worksheet_range(sheet).expect("sheet");
        let csv = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(file(name).as_slice())
            .into_records()
            .map(|r| r.expect("row"))
            .collect::<Vec<_>>();
        assert_eq!(range.rows().count(), csv.len());
        for (cells, row) in range.rows().zip(&csv) {
            for (cell, text) in cells.iter().zip(row) {
                let shown = cell.to_string();
                let same = shown == text || text.parse::<f64>().is_ok_and(|x| cell.as_f64() == Some(x));
                assert!(same, "{sheet}: {cell} against {text}");
            }
        }
    }
    assert_eq!(
        washgraph_view::tables::xlsx(&tables::all(&d)).expect("workbook"),
        file("sheet.xlsx"),
        "the same bytes each time"
    );
    assert!(!html.contains("<script") && !html.contains("src=") && !html.contains("http-equiv"));
    // The bill can be filled in and read back as a price list.
    let filled = String::from_utf8(file("bill.csv")).expect("text");
    Prices::parse(&filled).expect("its own bill is a price list");
    if let Ok(folder) = std::env::var("WASHGRAPH_LOOK") {
        for (name, bytes) in &files {
            std::fs::write(format!("{folder}/{name}"), bytes).expect("write");
        }
    }
}

#[test]
fn property_hostile_words_are_escaped() {
    let mut d = document("item,price\n");
    let bad = "<script>alert(1)</script>\"'&";
    d.title = bad.into();
    d.parts[0].title = bad.into();
    d.parts[0].rows[0].note = bad.into();
    for p in &mut d.parts {
        for drawing in &mut p.drawings {
            drawing.title = bad.into();
            drawing.name = bad.into();
        }
    }
    assert!(!page::html(&d).contains("<script"));
    assert!(!washgraph_view::sheet::template::html(&d).expect("template").contains("<script"));
}
