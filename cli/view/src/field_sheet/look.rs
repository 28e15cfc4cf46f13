//! Style of the sheet: black on white, one page, boxes for muddy hands.

/// Style for a paper of this size, mm. Boxes are as high as the fullest sheet leaves room for on one page: Letter is shorter.
pub fn css((width, height): (f64, f64)) -> String {
    let (number, low, row) = if height > 290.0 { (17.0, 12.5, 11.5) } else { (14.5, 11.5, 9.4) };
    let boxes = format!("@media print{{.box{{height:{number}mm}}.box.low{{height:{low}mm}}td{{height:{row}mm}}}}");
    format!("{COMMON}{boxes}@page{{size:{width}mm {height}mm;margin:9mm}}")
}

const COMMON: &str = "
*{box-sizing:border-box}
body{margin:0 auto;max-width:50rem;padding:.7rem;font:1rem/1.32 system-ui,'DejaVu Sans',sans-serif;color:#000;background:#fff}
h1{font-size:1.5rem;line-height:1.12;margin:0}
h2{font-size:1.02rem;margin:.75rem 0 .25rem;border-bottom:2px solid #000}
p{margin:.2rem 0}
.why{margin:.15rem 0 .4rem}
.head{display:grid;grid-template-columns:2fr 1fr 1fr;gap:.4rem;margin:.35rem 0 .4rem}
.two{display:grid;grid-template-columns:1fr 1.5fr;gap:0 1.1rem}
ul,ol{margin:.1rem 0;padding-left:1.25rem}
ul.tick{list-style:none;padding:0}
ul.tick li{padding-left:1.45rem;position:relative;margin:.18rem 0;min-height:1.2rem}
ul.tick li::before{content:'';position:absolute;left:0;top:.12rem;width:.9rem;height:.9rem;border:2px solid #000}
.care{border:2px solid #000;border-left-width:.65rem;padding:.25rem .6rem;margin:.4rem 0;font-weight:600;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.care p{margin:.12rem 0}
.boxes{display:grid;grid-template-columns:repeat(auto-fill,minmax(10.2rem,1fr));gap:.4rem}
.box{border:2px solid #000;height:17mm;padding:.1rem .35rem;position:relative;overflow:hidden}
.box .what{font-size:.7rem;line-height:1.06;display:block;padding-right:1.5rem}
.box .unit{position:absolute;right:.35rem;bottom:.1rem;font-size:.85rem;font-weight:600}
.box .key{position:absolute;right:.3rem;top:.05rem;font-weight:800;font-size:1.05rem}
.box.low{height:13mm}
table{margin-top:.4rem;border-collapse:collapse;width:100%;table-layout:fixed}
th{font-size:.76rem;line-height:1.12;text-align:left;font-weight:600;padding:.1rem 1.5rem .1rem .3rem;border:2px solid #000;vertical-align:top;position:relative}
th b{font-size:1rem;position:absolute;right:.3rem;top:.05rem}
td{border:2px solid #000;height:11.5mm;padding:.1rem .3rem;text-align:right;vertical-align:bottom;font-size:.85rem}
td.no{width:2rem}
th.no{width:2rem}
pre{border:1px solid #000;padding:.3rem .5rem;margin:.2rem 0;font:.76rem/1.28 'DejaVu Sans Mono',monospace;white-space:pre-wrap;columns:2;column-gap:1.5rem}
.quiet{font-size:.8rem}
@media (max-width:34rem){.two,.head{grid-template-columns:1fr}.box{height:15mm}td{height:12mm}table{font-size:.8rem}}
@media print{body{max-width:none;padding:0;font-size:9.4pt;line-height:1.24}h1{font-size:1.35rem}h2{margin:.5rem 0 .2rem}.two{grid-template-columns:1fr 1.5fr}.head{grid-template-columns:2fr 1fr 1fr}.boxes{grid-template-columns:repeat(4,1fr)}h2{break-after:avoid}table,.boxes,pre,.care{break-inside:avoid}}
";
