//! Style sheet. No colour carries meaning.

pub const CSS: &str = "
*{box-sizing:border-box}
body{margin:0 auto;max-width:46rem;padding:1rem;font:1rem/1.5 system-ui,'DejaVu Sans',sans-serif;color:#1c1c1c;background:#fff;overflow-wrap:anywhere}
h1{font-size:1.6rem;line-height:1.2;margin:.5rem 0}
h2{font-size:1.25rem;line-height:1.25;margin:2.2rem 0 .6rem;border-top:3px solid #1c1c1c;padding-top:.5rem}
h3{font-size:1.05rem;margin:1.2rem 0 .3rem}
header p{margin:.4rem 0}
.answer h2{font-size:1.15rem;margin:1.1rem 0 .3rem;border-top:1px solid #1c1c1c;padding-top:.4rem}
.answer p{margin:.25rem 0}.answer ul{margin:.2rem 0;padding-left:1.2rem}.answer li{margin:.1rem 0}
.number{display:inline-block;min-width:1.3rem;color:#555;font-weight:400}
.bad{border-left:6px solid #1c1c1c;padding-left:.7rem}
.front{margin-top:1rem}
code{font-family:ui-monospace,'DejaVu Sans Mono',monospace;font-size:.92em}
.quiet{color:#555}
.on-paper{display:none}
.stop{display:block;color:#333;border-left:3px solid #a46800;padding-left:.6rem;margin:.15rem 0 .5rem}
.step{margin:.2rem 0 .2rem 1.2rem}
nav{margin-top:1.5rem;border-top:1px solid #1c1c1c}
nav a{display:inline-block;padding:.2rem 0}
a{color:inherit}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;margin:.5rem 0;font-size:.95rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid #d6d4d0;overflow-wrap:normal}
th{border-bottom:2px solid #1c1c1c;font-weight:600}
td.n,th.n{text-align:right}
td.n{white-space:nowrap}
.many{font-size:.82rem}.many th,.many td{padding-right:.45rem}.many th.n{min-width:4.6em}
figure{margin:1.2rem 0;break-inside:avoid}
figure svg{width:100%;height:auto;display:block}
summary{cursor:pointer;padding:.5rem 0;text-decoration:underline}
.hash{font-family:monospace;font-size:.8rem;word-break:break-all}
li{margin:.3rem 0}
@media screen and (max-width:36rem){
figure svg{width:calc(100% + 1.6rem);margin-left:-.8rem}
thead{display:none}tr,td{display:block}
tr{padding:.4rem 0;border-bottom:1px solid #1c1c1c}
td,td.n{border:0;padding:.1rem 0;text-align:left;white-space:normal}
td[data-h]:not([data-h=''])::before{content:attr(data-h) ': ';color:#555}
td:first-child{font-weight:600}
}
@page{margin:12mm 14mm}
@media print{
body{max-width:none;padding:0;font-size:8.9pt;line-height:1.31}
h1{font-size:16pt;margin:0}
h2,h3,.lead,h3+p.quiet,p:has(+.wide){break-after:avoid}
.short{break-inside:avoid}
.on-paper{display:block}
h2{margin:1.3rem 0 .5rem}
.answer{display:flow-root;break-inside:avoid}
.answer h2{font-size:11pt;margin:.3rem 0 .05rem;padding-top:.15rem}
.answer p{margin:.1rem 0}
.front{float:right;width:82mm;margin:.4rem 0 0 5mm}.front figure{margin:0}.front figure svg{max-width:none;max-height:none}
#gold{break-before:page;clear:both}
nav{display:none}
p,li{orphans:2;widows:2}
tr,li{break-inside:avoid}
thead{display:table-header-group}
table{font-size:8.5pt}.many{font-size:7.4pt}
figure svg{max-width:125mm;max-height:122mm;margin:0 auto}
.wide{overflow:visible}
details:not([open]){display:none}
}
";
