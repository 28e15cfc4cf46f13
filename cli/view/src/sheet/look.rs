//! Style of the sheet: ink on paper, large, nothing told by colour. Made to be read at arm's length with dirty hands.

use crate::sheet::tiles::{MARGIN_MM, Paper};

/// Style of the sheet and its templates for this paper.
pub fn css(paper: Paper) -> String {
    let (width, height) = paper.size_mm;
    format!(
        "{COMMON}@page{{size:{width}mm {height}mm;margin:12mm}}@page plan{{size:{width}mm {height}mm;margin:{MARGIN_MM}mm}}"
    )
}

const COMMON: &str = "
*{box-sizing:border-box}
:root{--ink:#000;--soft:#444}
body{margin:0 auto;max-width:52rem;padding:.8rem;font:1.05rem/1.4 system-ui,'DejaVu Sans',sans-serif;color:var(--ink);background:#fff;overflow-wrap:anywhere}
header{border:3px solid var(--ink);display:grid;grid-template-columns:1fr auto;margin-bottom:1rem}
header h1{font-size:1.7rem;line-height:1.15;margin:.5rem .8rem 0}
header p{margin:.2rem .8rem .5rem}
header .mark{grid-row:1/3;grid-column:2;writing-mode:vertical-rl;background:var(--ink);color:#fff;font-weight:800;letter-spacing:.35em;padding:.8rem .5rem;text-align:center;-webkit-print-color-adjust:exact;print-color-adjust:exact}
header .signed{grid-column:1;border-top:1px solid var(--ink);margin:0;padding:.5rem .8rem;display:flex;gap:1.2rem;flex-wrap:wrap}
.blank{display:inline-block;border-bottom:1px solid var(--ink);min-width:8rem;height:1.3em}
section.card{border-left:1.1rem solid var(--ink);padding:0 0 .4rem .9rem;margin:0 0 1.6rem;-webkit-print-color-adjust:exact;print-color-adjust:exact}
section.card>h2{font-size:1.45rem;margin:0 0 .5rem;display:flex;gap:.7rem;align-items:baseline}
section.card>h2 .no{font-size:2.2rem;line-height:1;font-weight:800}
h3{font-size:1.05rem;margin:1rem 0 .3rem}
.plates{display:grid;grid-template-columns:repeat(auto-fill,minmax(11.5rem,1fr));gap:.5rem;margin:.3rem 0 .7rem}
.plate{border:2px solid var(--ink);padding:.4rem .6rem .45rem;break-inside:avoid}
.plate .what{display:block;font-size:.88rem;line-height:1.2;min-height:2.5em}
.plate .big{display:block;font-size:1.75rem;line-height:1.1;font-weight:800}
.plate .metric{display:block;font-size:1.15rem;font-weight:600}
.plate small{display:block;color:var(--soft);font-size:.78rem;line-height:1.25;margin-top:.2rem}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;margin:.3rem 0}
th,td{text-align:left;vertical-align:top;padding:.32rem .6rem .32rem 0;border-bottom:1px solid #999;overflow-wrap:normal}
th{border-bottom:2px solid var(--ink);font-weight:700;font-size:.9rem}
td.v{font-weight:700;font-size:1.12rem}
td.n{text-align:right;white-space:nowrap}
td .metric{font-weight:500;white-space:nowrap}
td small,li small{color:var(--soft);display:block;line-height:1.3}
td.box{width:2.1rem}
input[type=checkbox]{appearance:none;-webkit-appearance:none;width:1.35rem;height:1.35rem;border:2.5px solid var(--ink);margin:.05rem 0 0;vertical-align:top;background:#fff;cursor:pointer}
input[type=checkbox]:checked{background:linear-gradient(45deg,transparent 44%,#000 44% 56%,transparent 56%),linear-gradient(-45deg,transparent 44%,#000 44% 56%,transparent 56%)}
input[type=checkbox]:focus-visible{outline:3px solid var(--ink);outline-offset:2px}
ul.ticks{list-style:none;padding:0;margin:.3rem 0}
ul.ticks li{display:grid;grid-template-columns:2.1rem 1fr;padding:.3rem 0;break-inside:avoid}
ol li{margin:.3rem 0}
.careful{border:2px solid var(--ink);border-left-width:.7rem;padding:.4rem .8rem;margin:.6rem 0;font-weight:600;break-inside:avoid}
.careful::before{content:'CARE: ';font-weight:800}
figure{margin:.8rem 0;break-inside:avoid}
figcaption{font-size:.9rem;color:var(--soft)}
svg.picture{width:100%;height:auto;display:block}
svg.true,svg.ruler{display:block;max-width:none}
.sum{font-size:1.2rem;font-weight:700}
.quiet{color:var(--soft);font-size:.9rem}
.hash{font-family:monospace;font-size:.75rem;word-break:break-all}
.plan{page:plan;break-before:page;overflow-x:auto}
.plan .head{height:38mm;overflow:hidden;font-size:9.5pt;line-height:1.25}
.plan .head strong{font-size:13pt}
@media screen{.plan{border-top:3px dashed #777;margin-top:1.5rem;padding-top:.5rem}.plan .head{height:auto}}
@media screen and (max-width:34rem){
.plates{grid-template-columns:1fr 1fr}.plate .big{font-size:1.35rem}
section.card{border-left-width:.5rem;padding-left:.6rem}
table.bill thead{display:none}table.bill tr,table.bill td{display:block}table.bill tr{border-bottom:2px solid var(--ink);padding:.3rem 0}
table.bill td{border:0;padding:.08rem 0;text-align:left}
table.bill td[data-h]:not([data-h=''])::before{content:attr(data-h) ': ';color:var(--soft);font-weight:400}
}
@media print{
body{max-width:none;padding:0;font-size:11pt}
section.card{break-before:auto}h2,h3{break-after:avoid}tr{break-inside:avoid}.wide{overflow:visible}
.plates{grid-template-columns:repeat(3,1fr)}
figure svg.picture{max-height:95mm}
.noprint{display:none}
}
";
