package page

import (
	"spillway/render/sheet"
)

// state writes a call state of a report: its panel with its sliders.
func (m *markup) state(s *stateView) {
	if s.Variant != "" {
		m.put(`<p class="faint variantline">{}</p>`, s.Variant)
	}
	m.put("\n<div class=\"panel\">\n")
	m.head(s.Panel)
	if len(s.Sliders) > 0 {
		m.sliders(s)
	}
	m.put("\n")
	m.rest(s.Panel)
	m.put("\n</div>")
}

func (m *markup) sliders(s *stateView) {
	m.put(`
<form class="sliders card" data-for="{}" data-job="{}" data-options="{}" hidden>
<p class="lead" id="{}-lead">`+
		"Move a damper. Every position was solved; nothing is interpolated.</p>",
		s.ID, s.Command.Job, s.Command.Options, s.ID)
	for i := range s.Sliders {
		k := &s.Sliders[i]
		m.put(`
<div class="slider"><label for="{}">{} <span class="faint">{}</span></label>
<input type="range" id="{}" min="0" max="{}" step="1" value="{}"`,
			k.ID, k.Name, k.Help, k.ID, k.Last, k.Now)
		m.put(` data-key="{}" data-path="{}" data-now="{}" data-values="{}" aria-valuetext="{}">`,
			k.Key, k.Path, k.Now, k.Values, k.Text)
		m.put(`<output for="{}">{}</output></div>`, k.ID, k.Text)
	}
	m.put(`
<p><button type="button" class="back" disabled>as the file says</button>` +
		` <span class="moved" role="status"></span></p>
</form>`)
}

// parts writes all of a panel; followed only what the eye follows while something is dragged.
func (m *markup) parts(p *Panel) {
	m.head(p)
	m.rest(p)
}

func (m *markup) followed(p *Panel) {
	m.head(p)
	m.picture(p)
	m.ledger(p)
}

func (m *markup) rest(p *Panel) {
	m.picture(p)
	m.ledger(p)
	m.judged(p)
}

func (m *markup) head(p *Panel) {
	m.put(`
<div data-part="head" class="head">
<h2 id="{}-h">{}</h2>
<p class="badge {}"><span class="dot" aria-hidden="true"></span>{}</p>
<p class="sentence">{}</p>
<dl class="figures">`, p.ID, p.Title, p.Level, p.Verdict, p.Sentence)
	for _, f := range p.Figures {
		m.put("\n<div{}><dt>{}</dt><dd{}>{}</dd></div>",
			attribute("class", f.Class), f.Caption, attribute("data-why", f.Why), f.Number)
	}
	m.put("\n</dl>\n</div>\n")
}

func (m *markup) picture(p *Panel) {
	m.put(`
<div data-part="picture" class="picture" tabindex="0" role="region"`+
		` aria-label="Picture of the ducts">
{}</div>
`, p.Picture)
}

func (m *markup) ledger(p *Panel) {
	m.put(`
<div data-part="ledger">
<section class="card ledger" aria-label="Ledger">
<table><caption>Where the {} {} goes</caption>
<thead><tr><th scope="col">to</th><th scope="col" class="n">{}</th>`+
		`<th scope="col" class="n">%</th>`,
		p.Blower, p.Unit, p.Unit)
	m.put(`<th scope="col" class="barhead"><span class="hidden">share</span></th></tr></thead>
<tbody>`)
	for _, l := range p.Ledger {
		m.put("\n"+`<tr><th scope="row">{}</th><td class="n"{}>{}</td><td class="n"{}>{}</td>`,
			l.Text, attribute("data-why", l.Ask), l.Airflow,
			attribute("data-why", l.AskPart), l.Percent)
		m.put(`<td class="bar">{}</td></tr>`, bar(l))
	}
	m.put(`
</tbody>
<tfoot><tr><th scope="row">blower</th><td class="n" data-why="blower airflow">{}</td>`, p.Blower)
	m.put(`<td class="n">100.0</td><td></td></tr></tfoot>
</table>
</section>
</div>
`)
}

// bar is a ledger line as a bar of its share.
func bar(l sheet.LedgerLine) HTML {
	class := "hatch"
	if l.Wanted {
		class = "asked"
	}
	var m markup
	m.put(`<i class="{}" style="width:{}%"></i>`, class, l.Bar) // Bar is a number of the program
	return HTML(m.String())
}

func (m *markup) judged(p *Panel) {
	m.put(`
<div data-part="findings">
<section class="card findings" aria-label="Findings">
<h3 class="first">Findings</h3>`)
	m.findings(p)
	for _, note := range p.Notes {
		m.put("\n"+`<p class="note">{}</p>`, note)
	}
	m.put(`
</section>
</div>
<div data-part="charts" class="charts">`)
	for _, c := range p.Charts {
		m.put("\n<figure class=\"card\">\n{}</figure>", c)
	}
	m.put(`
<section class="card" aria-label="{}">
<h3 class="first">{}</h3>
<dl class="facts">`, p.Machine, p.Machine)
	for _, f := range p.Facts {
		m.put("\n<dt>{}</dt><dd>{}</dd>", f.Head, f.Text)
	}
	m.put(`
</dl>
</section>
</div>
<div data-part="tables" class="tables">`)
	for _, t := range p.Tables {
		m.put("\n<div class=\"card\">\n{}</div>", t)
	}
	m.put("\n</div>\n")
}

// findings writes what is not in order by check, then what is in a fold.
func (m *markup) findings(p *Panel) {
	if len(p.Findings) > 0 {
		m.put("\n<ul>")
		for i := range p.Findings {
			m.finding(&p.Findings[i])
		}
		m.put("\n</ul>")
	}
	if len(p.InOrder) == 0 {
		return
	}
	m.put("\n"+`<details class="fine"><summary>{} checks in order</summary><ul>`, len(p.InOrder))
	for _, at := range p.InOrder {
		m.put("\n"+`<li class="ok"{}><span class="dot" aria-hidden="true"></span>{}</li>`,
			attribute("data-ask", at.Why), at.Text)
	}
	m.put("\n</ul></details>")
}

func (m *markup) finding(f *Finding) {
	m.put("\n"+`<li class="{}"><span class="dot" aria-hidden="true"></span><b>{}</b> {}
<ul class="places">`, f.Level, f.Level, f.Check)
	for _, at := range f.Places {
		m.put("\n"+`<li class="{}"{}>{}</li>`, at.Level, attribute("data-ask", at.Why), at.Text)
	}
	m.put("\n</ul>")
	if f.Remedy != "" {
		m.put(`<p class="remedy">What helps: {}</p>`, f.Remedy)
	}
	if f.Source != "" {
		m.put(`<p class="source">The limit: {}</p>`, f.Source)
	}
	m.put("</li>")
}

// overview writes the call states side by side, a table for each weather and stage.
func (m *markup) overview(v *variantView) {
	if v.Digest != "" {
		m.put(`<div class="card digest">{}</div>`, v.Digest)
	}
	u := v.Unit
	for _, g := range v.Groups {
		m.put("\n"+`<div class="card scroll" tabindex="0" role="region" aria-label="{}">
<table class="overview"><caption>{}</caption>
<thead><tr><th scope="col">calls</th><th scope="col" class="wide">where the air goes</th>`,
			g.Name, g.Name)
		m.put(`<th scope="col" class="n">{}</th><th scope="col" class="n">surplus</th>`, u.Airflow)
		m.put(`<th scope="col">most of it</th><th scope="col" class="n">static {}</th>`, u.Pressure)
		m.put(`<th scope="col" class="n">leaving {}</th>`, u.Temperature)
		m.put(`<th scope="col" class="n">comes round again</th>`)
		m.put(`<th scope="col" class="n">drift {}</th><th scope="col">findings</th></tr></thead>
<tbody>`, u.Drift)
		for i := range g.Rows {
			m.overviewRow(&g.Rows[i])
		}
		m.put("\n</tbody></table>\n</div>")
	}
	m.put("\n" + `<p class="key"><i class="asked" aria-hidden="true"></i>` +
		` asked for by a calling zone` +
		` <i class="hatch" aria-hidden="true"></i> surplus</p>` + "\n")
}

func (m *markup) overviewRow(r *rowView) {
	m.put("\n"+`<tr data-in="{}"><th scope="row"><a href="#{}">{}</a></th>`, r.ID, r.ID, r.Calls)
	m.put(`<td class="wide"><span class="strip" aria-hidden="true">`)
	for _, l := range r.Bars {
		m.put("{}", bar(l))
	}
	m.put(`</span></td><td class="n" data-why="blower airflow">{}</td>`, r.Blower)
	m.put(`<td class="n surplus" data-why="surplus">{}</td>`, r.Surplus)
	m.put(`<td{}>{}</td>`, attribute("data-why", r.WhyMost), r.Most)
	m.put(`<td class="n" data-why="external static">{}</td>`, r.Static)
	m.put(`<td class="n" data-why="leaving air">{}</td>`, r.Leaving)
	why := "recirculated"
	if r.Recycled == "-" {
		why = ""
	}
	m.put(`<td class="n"{}>{}</td>`, attribute("data-why", why), r.Recycled)
	m.put(`<td class="n"{}>{}</td>`, attribute("data-why", r.WhyDrift), r.Drift)
	m.put(`<td class="{}"><span class="dot" aria-hidden="true"></span>{}</td></tr>`,
		r.Level, r.Verdict)
}
