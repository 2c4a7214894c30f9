/** The look of every report: ink on paper, one rule weight, colour only beside words. */
export const reportStyle = `
:root{color-scheme:light dark;--paper:#fff;--ink:#171b21;--quiet:#566070;--rule:#cdd2d9;--faint:#f3f5f7;--objected:#b04a00;--clear:#1c5d8c;--open:#566070}
@media screen and (prefers-color-scheme:dark){:root{--paper:#13161a;--ink:#dfe3e8;--quiet:#97a1ae;--rule:#363d47;--faint:#1b2026;--objected:#f0954a;--clear:#7ab8e6;--open:#97a1ae}.picture{filter:brightness(.86)}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:14px/1.45 system-ui,"Segoe UI","Noto Sans","Liberation Sans",Arial,sans-serif;font-variant-numeric:tabular-nums}
main{max-width:1160px;margin:0 auto;padding:28px 28px 60px}
h1,h2,.headline{font-family:Charter,"Bitstream Charter","Sitka Text",Cambria,"Liberation Serif",Georgia,serif;font-weight:600;line-height:1.2}
h1{font-size:27px;margin:0 0 18px}
h2{font-size:19px;margin:38px 0 12px;padding-top:10px;border-top:2px solid var(--ink)}
h3{font-size:14px;margin:20px 0 8px;overflow-wrap:anywhere}
h4{font-size:13px;margin:0 0 4px}
p{margin:0 0 8px;max-width:88ch}
.quiet,.lead{max-width:110ch}
ul,ol{margin:0 0 8px;padding-left:20px}
li{max-width:82ch}
b{font-weight:650}
.ordinal{color:var(--quiet);font-weight:400;margin-right:6px}
.overline{font-size:11px;letter-spacing:.09em;text-transform:uppercase;color:var(--quiet);margin:0 0 2px}
.quiet{color:var(--quiet);font-weight:400;font-size:12.5px}
.lead{color:var(--quiet)}
.conclusion{border:1px solid var(--rule);border-left:8px solid var(--open);padding:14px 18px 8px;background:var(--faint)}
.conclusion.objected{border-left-color:var(--objected)}
.conclusion.clear{border-left-color:var(--clear)}
.headline{font-size:29px;margin:0 0 8px}
.objected .headline{color:var(--objected)}
.clear .headline{color:var(--clear)}
.says{font-size:16px}
.facts{display:grid;grid-template-columns:repeat(auto-fill,minmax(290px,1fr));gap:0 28px;margin:16px 0}
.facts div{display:grid;grid-template-columns:96px 1fr;gap:8px;padding:4px 0;border-bottom:1px solid var(--rule)}
dt{color:var(--quiet)}
dd{margin:0;overflow-wrap:anywhere}
.cautions div{display:grid;grid-template-columns:190px 1fr;gap:10px;padding:5px 0;border-bottom:1px solid var(--rule)}
.cautions dd{max-width:82ch}
table{border-collapse:collapse;width:100%;font-size:13px}
th,td{text-align:left;vertical-align:top;padding:4px 10px 4px 0;border-bottom:1px solid var(--rule)}
thead th{font-weight:600;color:var(--quiet);vertical-align:bottom;border-bottom:1px solid var(--ink);font-size:12px;line-height:1.25}
tbody th{font-weight:600}
.part{overflow-wrap:anywhere;min-width:14ch}
thead .part{overflow-wrap:normal}
.number{text-align:right;white-space:nowrap}
thead .number{white-space:normal}
.number+td,.number+th:not(.number){padding-left:14px}
.unit{color:var(--quiet);font-weight:400}
.call{display:block}
.hash{display:block;font:400 11px/1.4 ui-monospace,"Liberation Mono",Consolas,monospace;color:var(--quiet);overflow-wrap:anywhere}
.picture{display:block;width:100%;height:auto;background:#fff;border:1px solid var(--rule)}
.mark,.mark-edge{fill:none;vector-effect:non-scaling-stroke}
.mark-edge{stroke:#fff;stroke-width:4}
.mark{stroke:#111;stroke-width:1.8}
.tag,.bar-plate{fill:#fff;stroke:#111;stroke-width:.8;vector-effect:non-scaling-stroke}
.bar-plate{stroke:none;fill-opacity:.82}
.tag-text,.bar-text{fill:#111;font-family:inherit;font-weight:600}
.tag-text{text-anchor:middle}
.bar{fill:#111}
.three .picture{max-height:430px}
.card .picture{max-height:200px}
figure{margin:0}
figcaption{font-size:12.5px;padding-top:5px}
.three{display:grid;grid-template-columns:repeat(auto-fit,minmax(240px,1fr));gap:16px}
.three>figure{max-width:460px}
.beside>div{min-width:0;overflow-x:auto}
.beside{display:grid;grid-template-columns:minmax(200px,2fr) 5fr;gap:24px;margin-top:10px}
.suspect-detail{padding-bottom:14px;margin-bottom:14px;border-bottom:1px solid var(--rule)}
.suspect-detail h3{font-size:16px}
.tight th,.tight td{padding:2px 10px 2px 0;font-size:12.5px}
.tight .number+td,.tight .number+th:not(.number){padding-left:14px}
.differs .under{opacity:.5}
.apart{font-weight:650}
.legend{font-size:12.5px}
.legend span{white-space:nowrap;margin-right:14px}
.legend .swatch{width:26px;height:14px;border:1px solid #333;display:inline-block;vertical-align:-2px;margin-right:6px;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.denser{background:rgb(0,84,190)}
.lighter{background:repeating-linear-gradient(135deg,rgb(235,120,0) 0 4px,#fbe3c8 4px 6px)}
.sheet{list-style:none;padding:0;display:grid;grid-template-columns:repeat(auto-fill,minmax(150px,1fr));gap:12px 10px}
.card{font-size:12.5px;line-height:1.35;min-width:0}
.card.suspect .picture{outline:3px double var(--ink);outline-offset:1px}
.card .mark{stroke-width:1.2}
.card .mark-edge{stroke-width:2.6}
.card .name{display:block;margin-top:5px;font-weight:600;overflow-wrap:anywhere}
.card .verdict,.card .quiet{display:block}
.card .verdict b,.flag{text-transform:uppercase;font-size:11px;letter-spacing:.05em;border:1px solid currentColor;padding:0 4px;white-space:nowrap}
.scroll{overflow:auto;max-height:82vh;border:1px solid var(--rule)}
.measurements{font-size:12px;border-collapse:separate;border-spacing:0}
.measurements th,.measurements td{padding:3px 8px}
.measurements thead th{position:sticky;top:0;background:var(--paper);z-index:2}
.measurements tbody th{position:sticky;left:0;background:var(--paper);z-index:1;min-width:16ch}
.measurements thead th:first-child{left:0;z-index:3}
.doubt{display:block;color:var(--quiet);font-weight:400;font-size:11px}
.why{color:var(--quiet);font-size:11.5px}
.warning{border:2px solid var(--objected);padding:6px 10px;font-weight:650;max-width:none;margin:12px 0 0}
.box{display:inline-block;width:17px;height:17px;border:1.5px solid var(--ink);vertical-align:-3px}
.pull-list .doubt{white-space:nowrap}.position{font-weight:650}.moment{white-space:nowrap}
.bounds{width:auto}.bounds th,.bounds td{padding-right:22px}
.bounds+p{margin-top:8px}.three+table{margin-top:8px}.signed{break-before:avoid;display:grid;grid-template-columns:2fr 1fr 1fr;gap:18px;max-width:none;margin:38px 0 12px}
.answer{display:block;height:26px;border-bottom:1px solid var(--rule);max-width:82ch}
.questions li{margin-bottom:6px;break-inside:avoid}
.side{border-bottom:1px solid var(--ink);padding-bottom:3px;font-size:15.5px}
td ul{padding-left:16px;margin:0}
.signatures{margin-top:44px;break-inside:avoid}
.signatures div{display:grid;grid-template-columns:110px 2fr 1fr 2fr;gap:18px;align-items:end;margin-top:34px}
.line{border-top:1px solid var(--ink);color:var(--quiet);font-size:11px;padding-top:3px}
footer{margin-top:36px;color:var(--quiet);font-size:11.5px}
@media (max-width:720px){main{padding:16px 14px 40px}.beside{grid-template-columns:1fr}.facts{grid-template-columns:1fr}.cautions div{grid-template-columns:1fr;gap:0}.sheet{grid-template-columns:repeat(auto-fill,minmax(120px,1fr))}.signatures div{grid-template-columns:1fr 1fr}section{overflow-x:auto}}
@media print{
@page{size:A4;margin:14mm 13mm 15mm}
body{font-size:9.5pt;background:#fff}
main{max-width:none;padding:0 1px}
h1{font-size:19pt}h2{font-size:13.5pt;margin-top:20pt;break-after:avoid}h3,h4,.legend,.lead{break-after:avoid}
.headline{font-size:19pt}.says{font-size:11pt}
table{font-size:8pt}.tight th,.tight td{font-size:7pt;line-height:1.22;padding:.8pt 7pt .8pt 0}
p{break-inside:avoid;orphans:3;widows:3}
thead{display:table-header-group}
tr,figure,.card,.facts div,.cautions div,.conclusion{break-inside:avoid}
.suspect-detail{break-inside:avoid;padding-bottom:6pt;margin-bottom:8pt}.suspect-detail h3{font-size:10.5pt;margin-top:6pt}.beside{margin-top:4pt}
.conclusion{print-color-adjust:exact;-webkit-print-color-adjust:exact}
.three{grid-template-columns:repeat(3,1fr);gap:9pt}.three .picture{max-height:72mm}.card .picture{max-height:38mm}
.sheet{grid-template-columns:repeat(6,1fr);gap:7pt 6pt}
.card,figcaption,.quiet{font-size:8pt}
.scroll{overflow:visible;max-height:none;border:0}
.measurements{font-size:7pt;border-collapse:collapse}
.measurements th,.measurements td{padding:1.5pt 3pt;position:static}
.measurements thead th{font-size:6.3pt}.part{min-width:13ch}
.doubt,.why{font-size:6.3pt}
.hash{font-size:7pt}
}
`;
