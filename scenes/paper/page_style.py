"""How the comparison's page looks: light, one column on a phone, two on a desk, three A4 sheets in print."""

STYLE = """
:root { --ink: #1c252e; --soft: #55616d; --line: #cfd6dc; --paper: #fbfaf7; --card: #fff; --mark: #fff2d6;
  --edge: #b34700; }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 1180px; padding: 20px 16px 40px; background: var(--paper); color: var(--ink);
  font: 16px/1.5 system-ui, "Segoe UI", "Helvetica Neue", "DejaVu Sans", sans-serif; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 4px; }
h2 { font-size: 1.15rem; margin: 32px 0 10px; padding-top: 10px; border-top: 2px solid var(--ink); }
p { margin: 0 0 10px; max-width: 75ch; }
.who { color: var(--soft); }
.short { background: var(--card); border: 1px solid var(--line); border-left: 6px solid var(--ink);
  padding: 14px 18px 6px; margin: 18px 0; max-width: 860px; }
.short p { max-width: none; }
.short h3 { margin: 0 0 6px; font-size: 1rem; }
.names { list-style: none; margin: 10px 0 0; padding: 0; }
.names li { margin: 0 0 4px; }
.key { vertical-align: middle; margin-right: 6px; }
.views { display: grid; gap: 16px; grid-template-columns: repeat(var(--count), minmax(0, 1fr)); }
figure { margin: 0; background: var(--card); border: 1px solid var(--line); }
figure img { display: block; width: 100%; height: auto; }
figcaption { padding: 8px 12px 10px; font-size: .95rem; }
.legend { font-size: .92rem; color: var(--soft); }
.charts { display: grid; gap: 16px; grid-template-columns: repeat(2, minmax(0, 1fr)); }
.charts figure { padding: 10px 8px 6px; }
.charts figcaption { font-weight: 600; padding: 0 6px 6px; }
.chart { display: block; width: 100%; height: auto; }
.chart text { fill: var(--ink); }
.chart .end { fill: var(--soft); }
.chart .grid { stroke: #e3e7ea; stroke-width: 1; }
.chart .zero { stroke: var(--ink); stroke-width: 1.4; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; max-width: calc(420px + 200px * var(--count));
  background: var(--card); font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); font-size: .92rem; padding: 0 0 6px; }
th, td { border-bottom: 1px solid var(--line); padding: 5px 8px; text-align: right; vertical-align: top; }
th[scope=row] { text-align: left; font-weight: 400; }
thead th { border-bottom: 2px solid var(--ink); overflow-wrap: break-word; }
thead th:first-child { text-align: left; }
tbody tr.group th { font-weight: 700; padding-top: 12px; text-align: left; }
td.differs { background: var(--mark); font-weight: 700; }
td.differs::before { content: "\\2260\\a0"; color: var(--edge); }
td small { display: inline-block; min-width: 4em; font-weight: 400; color: var(--soft); }
th small { color: var(--soft); white-space: nowrap; }
.care li { margin-bottom: 4px; max-width: 75ch; }
footer { margin-top: 28px; color: var(--soft); font-size: .92rem; }
@media (max-width: 640px) {
  .views, .charts { grid-template-columns: 1fr; }
  th, td { padding: 5px 5px; font-size: .93rem; }
  td small { display: block; min-width: 0; }
}
@page { size: A4; margin: 11mm; }
@media print {
  html { font-size: 12px; }
  body { background: #fff; max-width: none; padding: 0; font-size: 12px; line-height: 1.3; }
  p { margin-bottom: 1.5mm; max-width: none; }
  .short { max-width: none; margin: 3mm 0; padding: 2mm 4mm 1mm; }
  .views, .charts { gap: 4mm; }
  .views { grid-template-columns: repeat(var(--print-count), minmax(0, 1fr)); }
  .charts { grid-template-columns: repeat(2, minmax(0, 1fr)); }
  figure img { width: auto; max-width: 100%; max-height: 108mm; margin: 0 auto; }
  figcaption { padding: 1mm 2mm 1.5mm; }
  figure, tr, .short, .care, .together { break-inside: avoid; }
  .legend { break-after: avoid; }
  h2 { break-after: avoid; margin: 4mm 0 2mm; padding-top: 2mm; }
  .sheet { break-before: page; }
  .sheet h2 { margin-top: 0; }
  table { max-width: none; }
  th, td { padding: .7mm 2mm; }
  tbody tr.group th { padding-top: 1.6mm; }
  ul.care { margin: 1mm 0; }
  footer { margin-top: 3mm; }
  * { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
}
"""
