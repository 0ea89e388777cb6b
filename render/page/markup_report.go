package page

import "spillway/render/sheet"

// security lets a report run nothing but its own script and fetch nothing.
const security = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; " +
	"img-src data:; base-uri 'none'; form-action 'none'"

// report writes a report, one file with all that it needs.
func (m *markup) report(v *reportView) {
	m.put(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{}">
<meta name="generator" content="spillway {}">
<link rel="icon" href="data:,">
<title>{}</title>
<style>{}</style>
</head>
<body>
<a class="skip" href="#main">to the content</a>
<header class="top">
<p class="emblem" aria-hidden="true"></p>
<div><h1>{}</h1><p class="faint">{}</p></div>
`, HTML(security), v.Version, v.Title, styleOf(), v.Title, v.File)
	m.put(`<p class="hint" hidden><kbd>←</kbd> <kbd>→</kbd> other call states · <kbd>Home</kbd>` +
		` all of them · click a number to see where it comes from</p>
</header>
<div class="frame">
<nav aria-label="Call states">`)
	if v.Decision != "" {
		m.put("\n" + `<ul><li><a href="#decide">to decide and sign</a></li></ul>`)
	}
	for i := range v.Variants {
		m.contents(&v.Variants[i], v.Many)
	}
	m.put(`
<ul><li><a href="#about">assumptions, caution</a></li></ul>
</nav>
<main id="main" tabindex="-1">`)
	if v.Decision != "" {
		m.put("\n"+`<section class="view decide" id="decide" aria-labelledby="decide-h">
<h2 id="decide-h">To decide and sign: {}</h2>
{}</section>`, v.Title, v.Decision)
	}
	for i := range v.Variants {
		if v.Variants[i].SheetFirst {
			m.installerView(&v.Variants[i])
		}
	}
	for i := range v.Variants {
		m.variant(&v.Variants[i], v.Many)
	}
	m.about(v)
	m.put("\n</main>\n</div>")
	for _, packed := range []struct {
		name    string
		scripts []script
	}{{"states", v.States}, {"frames", v.Frames}, {"derivations", v.Derivations}} {
		for _, s := range packed.scripts {
			m.put("\n"+`<script type="application/octet-stream" data-{}="{}">{}</script>`,
				packed.name, s.IDs, s.Data)
		}
	}
	m.put("\n<script>{}</script>\n</body>\n</html>\n",
		HTML(asset("explain.js")+asset("turn.js")+asset("report.js")))
}

// contents lists the states of a variant.
func (m *markup) contents(v *variantView, many bool) {
	if many {
		m.put(`<h2 class="variant">{}</h2>`, v.Name)
	}
	m.put("\n<ul>\n"+`<li><a href="#{}">all call states</a></li>`, v.ID)
	for _, g := range v.Groups {
		m.put("\n"+`<li class="group"><span>{}</span><ul>`, g.Name)
		for i := range g.Rows {
			r := &g.Rows[i]
			m.put("\n"+`<li><a href="#{}"><span class="{}"><span class="dot" aria-hidden="true">`+
				`</span><span class="hidden">{}: </span></span>{}</a></li>`,
				r.ID, r.Level, r.Verdict, r.Calls)
		}
		m.put("\n</ul></li>")
	}
	m.put("\n"+`<li><a href="#{}-sheet">sheet for the installer</a></li>`+"\n</ul>", v.ID)
}

// variant writes the views of a variant: its overview, its states and the sheet for the installer.
func (m *markup) variant(v *variantView, many bool) {
	which := ""
	if many {
		which = ", " + v.Name
	}
	m.put("\n"+`<section class="view" id="{}" aria-label="All call states{}">
<h2>Every call state{}</h2>`, v.ID, which, which)
	if v.Note != "" {
		m.put(`<p class="sentence">{}</p>`, v.Note)
	}
	m.put("\n")
	m.overview(v)
	m.put("\n"+`<p class="safety"><b>Caution.</b> {}</p>
</section>`, sheet.Caution)
	for i := range v.States {
		s := &v.States[i]
		m.put("\n"+`<section class="view state" id="{}" data-name="{}" `, s.ID, s.Name)
		if s.Packed {
			m.put(`data-packed="{}" aria-label="{}">
<p class="packed">{}: this call state is packed, to keep the file small, and has not been `+
				`unpacked; that takes a browser that runs the file's script.</p>`,
				v.ID, s.Title, s.Name)
		} else {
			m.put(`aria-labelledby="{}-h">`+"\n", s.ID)
			m.state(s)
		}
		m.put("\n</section>")
	}
	if !v.SheetFirst {
		m.installerView(v)
	}
}

// installerView writes the view that holds a variant's sheet for the installer.
func (m *markup) installerView(v *variantView) {
	m.put("\n"+`<section class="view installer" id="{}-sheet"`+
		` aria-label="Sheet for the installer">`+"\n", v.ID)
	m.installer(v)
	m.put("\n</section>")
}

func (m *markup) about(v *reportView) {
	m.put(`
<section class="view" id="about" aria-label="Assumptions and caution">
<h2>Assumed where the file is silent</h2>
<div class="card scroll" tabindex="0" role="region" aria-label="Assumptions">
<table><thead><tr><th scope="col">in the file</th><th scope="col">taken as</th>` +
		`<th scope="col">because</th></tr></thead>
<tbody>`)
	for _, a := range v.Assumptions {
		m.put("\n"+`<tr><th scope="row">{}</th><td>{}</td><td>{}</td></tr>`, a.Path, a.Value, a.Why)
	}
	m.put(`
</tbody></table></div>
<h2>Caution</h2>
<p class="safety">{}</p>
<p class="faint">Made by Spillway {} from {}.</p>
</section>`, sheet.Caution, v.Version, v.File)
}

// installer writes the sheet that is filled in by hand.
func (m *markup) installer(v *variantView) {
	m.put("\n<h2>Sheet for the installer")
	if v.Name != asItStands {
		m.put(", {}", v.Name)
	}
	m.put(`</h2>
<p class="filled">Job: <span class="blank long"></span> Date: <span class="blank"></span>` +
		` By: <span class="blank"></span></p>
<h3>Set</h3>
<div class="settings">`)
	for _, t := range v.Sheet.Settings {
		m.settings(t)
	}
	m.put(`
</div>
<h3>Then read</h3>
<p class="source">{}</p>`, v.Sheet.Note)
	for _, t := range v.Sheet.Readings {
		m.readings(t)
	}
	m.put("\n"+`<p class="safety"><b>Caution.</b> {}</p>`+"\n", sheet.Caution)
}

func (m *markup) settings(t sheet.SettingTable) {
	m.put(`
<div class="scroll" tabindex="0" role="region" aria-label="{}">
<table class="fill"><caption>{}</caption>
<thead><tr>`, t.Caption, t.Caption)
	for _, head := range t.Head {
		m.put(`<th scope="col">{}</th>`, head)
	}
	m.put("<th scope=\"col\">as set</th></tr></thead>\n<tbody>")
	for _, row := range t.Rows {
		m.put("\n<tr>")
		for i, text := range row {
			if i == 0 {
				m.put(`<th scope="row">{}</th>`, text)
			} else {
				m.put("<td>{}</td>", text)
			}
		}
		m.put(`<td class="blank"></td></tr>`)
	}
	m.put("\n</tbody></table></div>")
}

func (m *markup) readings(t ReadingTable) {
	m.put(`
<div class="scroll reading" tabindex="0" role="region" aria-label="Expected readings">
<table class="fill readings"><caption>Expected and measured</caption>
<thead><tr><th scope="col" rowspan="2">reading</th><th scope="col" rowspan="2">unit</th>`)
	for _, name := range t.States {
		m.put(`<th scope="colgroup" colspan="3">{}</th>`, name)
	}
	m.put("</tr>\n<tr>")
	for range t.States {
		m.put(`<th scope="col">expected</th><th scope="col">within</th><th scope="col">read</th>`)
	}
	m.put("</tr></thead>\n<tbody>")
	for _, row := range t.Rows {
		m.put("\n"+`<tr><th scope="row">{}</th><td>{}</td>`, row.Name, row.Unit)
		for _, e := range row.Expected {
			var why HTML
			if e.Why != "" {
				why = attribute("data-in", e.In) + attribute("data-why", e.Why)
			}
			m.put(`<td class="n"{}>{}</td><td class="n within">{}</td><td class="blank"></td>`,
				why, e.Value, e.Within)
		}
		m.put("</tr>")
	}
	m.put("\n</tbody></table></div>")
}
