//! The look of the page: grey when all is well, vermillion with a mark and words for what needs a
//! person. Series colours are those of Okabe and Ito; gas colours those of EN 1089-3:2011.

/// The style sheet of the page.
pub const STYLE: &str = r#"
:root { color-scheme: light; }
body { margin: 0 auto; padding: 24px 28px 60px; max-width: 1044px; background: #fff; color: #222;
  font: 15px/1.45 "Liberation Sans", Arial, Helvetica, sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 26px; margin: 0 0 2px; }
h2 { font-size: 19px; margin: 44px 0 8px; padding-top: 10px; border-top: 1px solid #bbb; }
h3 { font-size: 16px; margin: 22px 0 4px; }
p { margin: 6px 0; max-width: 84ch; }
.sub, .note { color: #555; }
.note { font-size: 13px; max-width: 110ch; }
.caution { border: 1px solid #777; border-left: 6px solid #777; padding: 8px 14px; margin: 14px 0; max-width: none; }
.tiles { display: grid; grid-template-columns: repeat(4, 1fr); gap: 10px; margin: 16px 0; }
.tile { border: 1px solid #d5d5d5; padding: 8px 12px; min-height: 66px; }
.tile b { display: block; font-size: 20px; font-weight: 600; }
.tile span { color: #555; font-size: 13px; display: block; }
.chain { font-size: 12px; margin-top: 6px; overflow-wrap: anywhere; }
.tile:has(.chain[open]) { grid-column: 1 / -1; }
.chain summary { color: #555; cursor: pointer; }
.chain p { margin: 3px 0; }
.chain p b { display: inline; font-size: inherit; margin-right: 6px; }
.chain ul { margin: 2px 0; padding-left: 16px; }
.tile.alert { border-color: #a33c00; border-left-width: 6px; }
.tile.alert b, .alert-text { color: #a33c00; }
table { border-collapse: collapse; margin: 10px 0 4px; font-size: 13px; }
th { text-align: left; font-weight: 600; border-bottom: 1px solid #888; padding: 3px 12px 3px 0; vertical-align: bottom; }
td { border-bottom: 1px solid #e4e4e4; padding: 3px 12px 3px 0; vertical-align: top; }
th.n, td.n { text-align: right; white-space: nowrap; }
td.w { white-space: nowrap; }
tr.ruled td { border-top: 1px solid #888; }
tr.sum td { border-top: 1px solid #888; font-weight: 600; }
tr.weak td { background: #f4f4f4; }
tr.weak td.status { font-weight: 600; }
svg { display: block; max-width: 100%; height: auto; margin: 4px 0; }
svg text { font-family: "Liberation Sans", Arial, Helvetica, sans-serif; fill: #222; font-size: 13px; white-space: pre; }
svg text.name { font-weight: 600; }
svg text.small, svg text.label { font-size: 12px; fill: #444; }
svg text.label { fill: #222; font-size: 13px; }
svg text.faint { font-size: 12px; fill: #767676; }
svg text.value { font-size: 13px; }
svg text.warn { font-size: 12px; font-weight: 600; fill: #a33c00; }
svg text.key-true { font-size: 12px; fill: #0072b2; }
.ground { fill: #fafafa; }
.beyond { fill: #e3e3e3; }
.limit { stroke: #8a8a8a; stroke-width: 1; }
.axis { stroke: #888; stroke-width: 1; }
.grid { stroke: #dcdcdc; stroke-width: 1; }
.shown { fill: none; stroke: #222; stroke-width: 1.2; stroke-linejoin: round; }
.second { fill: none; stroke: #999; stroke-width: 1; stroke-dasharray: 2 2; }
.true { fill: none; stroke: #0072b2; stroke-width: 1.4; stroke-dasharray: 5 3; }
.target { fill: none; stroke: #aaa; stroke-width: 3; }
.out-shown { fill: #d55e00; }
.out-true { fill: #fff; stroke: #d55e00; stroke-width: 1; }
.gas { stroke: #333; stroke-width: 1; }
.He { fill: #6f4f28; }
.O2 { fill: #fff; }
.N2 { fill: #1a1a1a; }
.CO2 { fill: #7d7f7d; }
.H2O, .trace { fill: #cfcfcf; }
.ph-deck { fill: #dedede; }
.ph-travel { fill: #8c8c8c; }
.ph-bottom { fill: #cbe2f0; }
.ph-first { fill: #0072b2; }
.ph-second { fill: #56b4e9; }
.night { fill: #f0f0f0; }
.seat-bellman { fill: #fff; stroke: #0072b2; stroke-width: 1; }
.rest { stroke: #9a9a9a; stroke-width: 1; }
.tired-low { fill: #b5b5b5; }
.tired-raised { fill: #6e6e6e; }
.tired-high { fill: #d55e00; }
.fan-wide { fill: #e2e2e2; }
.fan-near { fill: #bdbdbd; }
.fan-median { fill: none; stroke: #222; stroke-width: 2; stroke-linejoin: round; }
.fan-least { fill: none; stroke: #555; stroke-width: 1.4; stroke-dasharray: 1.5 3; stroke-linecap: round; }
.fan-minimum { stroke: #a33c00; stroke-width: 1.6; stroke-dasharray: 9 3; }
.why-bar { fill: #adadad; stroke: #555; stroke-width: 1; }
.why-low, .why-hollow { fill: #fff; stroke: #555; stroke-width: 1; }
.why-base { stroke: #222; stroke-width: 1.4; }
.whisker { stroke: #222; stroke-width: 1.3; }
.chance-minimum { fill: none; stroke: #444; stroke-width: 1.6; stroke-dasharray: 6 3; }
.chance-minimum-band { fill: #8a8a8a; fill-opacity: 0.25; }
.chance-stop { fill: none; stroke: #a33c00; stroke-width: 2; }
.chance-stop-band { fill: #d55e00; fill-opacity: 0.22; }
.banks { display: grid; grid-template-columns: repeat(4, 1fr); gap: 14px 12px; }
.chip { display: inline-block; width: 22px; height: 11px; border: 1px solid #333; vertical-align: -1px; margin: 0 5px 0 14px; }
.chip.run { background: #cbe2f0; border-color: #cbe2f0; margin-left: 0; } .chip.out { background: #0072b2; border-color: #0072b2; }
.chip.He { background: #6f4f28; } .chip.O2 { background: #fff; } .chip.N2 { background: #1a1a1a; } .chip.CO2 { background: #7d7f7d; }
@media screen and (max-width: 720px) {
  body { padding: 14px 14px 40px; }
  .tiles { grid-template-columns: repeat(2, 1fr); }
  .banks { grid-template-columns: repeat(2, 1fr); }
  table { display: block; overflow-x: auto; }
  th:first-child, td:first-child { position: sticky; left: 0; background: #fff; box-shadow: 1px 0 #ddd; }
  td:first-child:not(.n):not(.w) { min-width: 8em; max-width: 38vw; }
  td:last-child:not(.n):not(.w) { min-width: 18em; }
}
@media print {
  body { padding: 0; max-width: none; font-size: 11pt; }
  .sheet { break-before: page; break-inside: avoid; }
  h2 { break-after: avoid; } h3 { break-after: avoid; }
  svg, .tile, tr { break-inside: avoid; }
  * { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
}
"#;
