"""
The style sheet and the script that draws the charts: one of each, the same on every page.

Widths at which the layout changes are in em, so that larger text gets the narrow layout too;
charts grow with the text.
"""

from reports import theme

STYLE = f"""
:root {{ color-scheme: light; }}
* {{ box-sizing: border-box; }}
body {{
  margin: 0; color: {theme.INK}; background: {theme.WHITE};
  font: 1rem/1.5 {theme.FONT}; font-variant-numeric: tabular-nums;
  overflow-wrap: break-word;
}}
.sheet {{ max-width: 78rem; margin: 0 auto; padding: 0 1.5rem; }}
a {{ color: {theme.BLUE}; text-underline-offset: 0.2em; }}
:focus-visible {{ outline: 3px solid {theme.BLUE}; outline-offset: 3px; }}
.skip {{ position: absolute; left: -60rem; }}
.skip:focus {{ position: static; display: inline-block; margin: 0.5rem 1.5rem; }}
header {{
  display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0.5rem 2rem;
  padding: 1.5rem 0 0; border-bottom: 1px solid {theme.INK};
}}
header p {{ margin: 0 0 0.75rem; font-weight: 600; }}
nav {{ display: flex; flex-wrap: wrap; gap: 0 1.75rem; }}
nav a {{ color: {theme.SOFT}; text-decoration: none; padding-bottom: 0.75rem; }}
nav a:hover {{ text-decoration: underline; }}
nav a[aria-current] {{
  color: {theme.INK}; font-weight: 600; box-shadow: inset 0 -3px 0 {theme.INK};
}}
h1 {{
  margin: 0; font-size: 2rem; line-height: 1.25; font-weight: 600;
  letter-spacing: -0.01em; text-wrap: balance;
}}
h2 {{
  margin: 0 0 1rem; max-width: 52ch; font-size: 1.3125rem; line-height: 1.38;
  font-weight: 600; letter-spacing: -0.01em; text-wrap: pretty;
}}
h3 {{ margin: 0 0 0.25rem; font-size: 0.9375rem; line-height: 1.5; font-weight: 600; }}
.top, section, footer {{ display: grid; grid-template-columns: 10.5rem minmax(0, 1fr) 14.5rem;
  column-gap: 2rem; }}
.top {{ padding: 2.5rem 0; }}
.beside {{ margin: 0.5rem 0 0; color: {theme.SOFT}; font-size: 0.875rem; line-height: 1.43; }}
.opening {{ margin: 0.75rem 0 0; font-size: 1.0625rem; line-height: 1.53; max-width: 66ch; }}
.asks {{ margin: 1.25rem 0 0; padding: 0; list-style: none; border-top: 1px solid {theme.HAIR}; }}
.asks li {{
  display: grid; grid-template-columns: 1.75rem minmax(0, 1fr) auto; gap: 0 1rem;
  padding: 0.6rem 0; border-bottom: 1px solid {theme.HAIR};
}}
.asks b {{ color: {theme.BLUE}; }}
section {{ border-top: 1px solid {theme.LINE}; padding: 1.75rem 0 2rem; }}
.ask {{ margin: 0.25rem 0 0; color: {theme.SOFT}; font-size: 0.875rem; line-height: 1.43; }}
.ask b {{ display: block; color: {theme.INK}; }}
section.wide .found {{ grid-column: 2 / -1; }}
section.wide .do {{ grid-column: 2; margin-top: 1.5rem; }}
.note {{
  margin: 0.75rem 0 0; max-width: 68ch; color: {theme.SOFT}; font-size: 0.875rem;
  line-height: 1.43;
}}
.do {{ align-self: start; border-top: 3px solid {theme.BLUE}; padding-top: 0.6rem; }}
.do p {{ margin: 0 0 0.5rem; font-size: 0.9375rem; line-height: 1.53; }}
.chart {{ max-width: 100%; }}
.chart svg {{ display: block; max-width: 100%; height: auto; }}
.chart .narrow, .chart .paper {{ display: none; }}
details {{ margin-top: 0.75rem; font-size: 0.875rem; }}
summary {{ color: {theme.BLUE}; cursor: pointer; line-height: 1.43; padding: 0.4rem 0; }}
.scroll {{ overflow-x: auto; max-width: 100%; }}
table {{ border-collapse: collapse; margin: 0.75rem 0 0; font-size: 0.875rem; line-height: 1.43;
  min-width: 60%; }}
caption {{ text-align: left; color: {theme.SOFT}; padding: 0 0 0.35rem; }}
th, td {{ text-align: left; vertical-align: top; padding: 0.45rem 1rem 0.45rem 0;
  border-bottom: 1px solid {theme.HAIR}; overflow-wrap: break-word; min-width: 3.5rem; }}
thead th {{ color: {theme.SOFT}; font-weight: 400; border-bottom: 1px solid {theme.INK};
  vertical-align: bottom; overflow-wrap: normal; }}
tbody th {{ font-weight: 600; min-width: 7rem; }}
th:last-child, td:last-child {{ padding-right: 0; }}
.n {{ text-align: right; }}
td.n {{ white-space: nowrap; }}
footer {{ border-top: 1px solid {theme.INK}; padding: 1.25rem 0 3rem; font-size: 0.875rem; }}
footer .ask {{ margin: 0; }}
footer p {{ margin: 0 0 0.4rem; max-width: 70ch; }}
footer .look b {{ color: {theme.RUST}; }}
@media screen and (max-width: 56.2em) {{
  .top, section, footer {{ display: block; }}
  .top {{ padding: 1.5rem 0 2rem; }}
  h1 {{ margin-top: 0.5rem; }}
  .ask {{ margin: 0 0 0.4rem; }}
  .ask b {{ display: inline; margin-right: 0.5rem; }}
  .do {{ margin-top: 1.5rem; }}
}}
@media screen and (max-width: 44.95em) {{
  .sheet {{ padding: 0 1rem; }}
  header {{ display: block; padding-top: 0.75rem; }}
  h1 {{ font-size: 1.625rem; }}
  h2 {{ font-size: 1.1875rem; }}
  .chart .full {{ display: none; }}
  .chart .narrow {{ display: block; }}
  .asks li {{ grid-template-columns: 1.75rem minmax(0, 1fr); }}
  .asks li a {{ grid-column: 2; }}
  summary {{ padding: 0.75rem 0; }}
  table {{ width: 100%; }}
  .list, .list tbody, .list tr, .list th, .list td, .list caption {{ display: block; }}
  .list thead {{ position: absolute; left: -60rem; }}
  .list tr {{ border-bottom: 1px solid {theme.LINE}; padding: 0.6rem 0; }}
  .list th, .list td {{ border: 0; padding: 0.1rem 0; text-align: left; }}
  .list td {{ white-space: normal; display: grid; gap: 0 0.75rem;
    grid-template-columns: 8.5rem minmax(0, 1fr); }}
  .list td.w {{ grid-template-columns: minmax(0, 1fr); }}
  .list td::before {{ content: attr(data-l); color: {theme.SOFT}; }}
}}
@page {{ size: A4 landscape; margin: 9mm 12mm; }}
@media print {{
  body {{ font-size: 9.5pt; }}
  .sheet {{ max-width: none; padding: 0; }}
  nav, .skip, details, .do a, .unprinted {{ display: none; }}
  header {{ padding-top: 0; }}
  header p {{ margin-bottom: 0.4rem; }}
  h1 {{ font-size: 15pt; }}
  h2 {{ font-size: 11.5pt; max-width: none; margin-bottom: 0.35rem; }}
  .top {{ display: grid; grid-template-columns: minmax(0, 1fr) auto; padding: 0.6rem 0 0.8rem; }}
  .top .beside {{ grid-column: 2; grid-row: 1; text-align: right; }}
  .top .said {{ grid-column: 1; grid-row: 1; }}
  .beside {{ font-size: 8pt; }}
  .do h3::after {{ content: "."; }}
  .opening, .asks {{ font-size: 9.5pt; margin-top: 0.4rem; max-width: none; }}
  .asks li {{ padding: 0.3rem 0; }}
  .asks a {{ color: inherit; text-decoration: none; }}
  main .columns {{ columns: 2; column-gap: 7mm; }}
  section {{ display: block; break-inside: avoid; padding: 0.4rem 0 0.6rem; }}
  section.wide {{ column-span: all; break-inside: auto; }}
  h2, .ask, caption, thead {{ break-after: avoid; }}
  .found {{ break-before: avoid; }}
  tr, .chart, .do {{ break-inside: avoid; }}
  .ask {{ margin: 0; font-size: 8pt; }}
  .ask b {{ display: inline; margin-right: 0.4rem; }}
  .note {{ font-size: 8pt; max-width: none; margin-top: 0.4rem; }}
  .chart .full {{ display: none; }}
  .chart .paper {{ display: block; }}
  .do {{ border-top: 0; border-left: 4px solid {theme.INK}; padding: 0 0 0 0.6rem;
    margin-top: 0.5rem !important; }}
  .do h3, .do p {{ display: inline; font-size: 9pt; }}
  table {{ font-size: 8.5pt; margin-top: 0.15rem; width: 100%; }}
  th, td {{ padding: 0.16rem 0.6rem 0.16rem 0; min-width: 0; }}
  tbody th {{ min-width: 0; }}
  a {{ color: inherit; }}
  footer {{ display: block; font-size: 8pt; padding: 0.5rem 0 0; break-inside: avoid; }}
  footer p {{ display: inline; margin-right: 0.5rem; }}
}}
"""

SCRIPT = """
(async function () {
  const book = JSON.parse(document.getElementById("charts").textContent);
  const options = {
    ast: true, actions: false, defaultStyle: false, tooltip: false, renderer: "svg",
    config: book.config,
  };
  const first = matchMedia("print").matches ? "paper"
    : matchMedia("(max-width: 44.95em)").matches ? "narrow" : "full";
  const sizes = [first].concat(["full", "narrow", "paper"].filter((size) => size !== first));
  for (const size of sizes) {
    for (const name of Object.keys(book.charts)) {
      const place = document.getElementById(name + "-" + size);
      await window.vegaEmbed(place, book.charts[name][size], options);
      const svg = place.querySelector("svg");
      svg.setAttribute("aria-hidden", "true");
      svg.style.width = svg.getAttribute("width") / 16 + "rem";
    }
    await new Promise((done) => setTimeout(done, 0));
  }
  document.documentElement.dataset.drawn = "yes";
})();
"""
"""Each chart is drawn for screen, phone and paper; the style sheet shows the one that fits."""
