//! Style sheet. No colour carries meaning.

pub(super) const CSS: &str = "
*{box-sizing:border-box}
body{margin:0 auto;max-width:46rem;padding:1rem;font:1rem/1.5 system-ui,'DejaVu Sans',sans-serif;color:#1c1c1c;background:#fff;overflow-wrap:anywhere}
h1{font-size:1.6rem;line-height:1.2;margin:.5rem 0}
h2{font-size:1.25rem;margin:2.2rem 0 .6rem;border-top:3px solid #1c1c1c;padding-top:.5rem}
h3{font-size:1.05rem;margin:1.2rem 0 .3rem}
.quiet{color:#555}
pre{white-space:pre-wrap;font:inherit;margin:0;padding:.8rem 1rem;border-left:6px solid #a46800;background:#f6f4ef}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;margin:.5rem 0;font-size:.95rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid #d6d4d0;overflow-wrap:normal}
th{border-bottom:2px solid #1c1c1c;font-weight:600}
td.n,th.n{text-align:right}td.n{white-space:nowrap}
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
@page{margin:16mm 15mm}
@media print{body{max-width:none;padding:0;font-size:10pt}h2{break-after:avoid}tr{break-inside:avoid}figure svg{max-width:150mm;margin:0 auto}.wide{overflow:visible}details:not([open]) summary{display:none}a{color:inherit}}
";
