package intake

import (
	"fmt"
	"strings"

	"hindwatt/internal/page"
)

const (
	samples = 3
	shown   = 20 // faults; the rest is counted
)

// into names the file that the rows go to.
func (p *Plan) into() string {
	switch p.Kind {
	case "bom":
		return "production.toml"
	case "reading":
		return "records/readings.csv"
	}
	return "records/" + p.Kind + ".csv"
}

// Page shows what would be done: which column goes where, three rows before and after, what is left out and what is wrong.
func (p *Plan) Page() page.Page {
	out := page.Page{ID: "import", Question: "What would be taken from " + p.sheet.called() + "?", Short: "Import"}
	fresh, there, wrong := p.Rows()
	answer := fmt.Sprintf("Of %s of %s, %d would go into %s", plural(p.rows, "row"), p.sheet.called(), fresh, p.into())
	if there > 0 {
		answer += fmt.Sprintf("; %d are there already", there)
	}
	switch {
	case wrong > 0 && p.Options.SkipBad:
		answer += fmt.Sprintf("; %d are wrong and left out", wrong)
	case wrong > 0:
		answer += fmt.Sprintf("; %d are wrong, so none is taken (--skip-bad takes the others)", wrong)
	}
	out.Answer = []string{answer + "."}
	if len(p.dropped) > 0 {
		out.Answer = append(out.Answer, "No data: "+strings.Join(p.dropped, ", ")+".")
	}
	out.Tables = append(out.Tables, p.columnsTable())
	if len(p.faults) > 0 {
		t := page.Table{Title: "What is wrong", Head: []string{"where", "what"}}
		for _, f := range p.faults[:min(shown, len(p.faults))] {
			t.Rows = append(t.Rows, []string{f.Place, f.Text})
		}
		if more := len(p.faults) - shown; more > 0 {
			t.Note = fmt.Sprintf("and %d more", more)
		}
		out.Tables = append(out.Tables, t)
	}
	for i, n := range p.notes {
		if i == shown {
			out.Warnings = append(out.Warnings, page.Note{Text: fmt.Sprintf("and %d more", len(p.notes)-shown)})
			break
		}
		out.Warnings = append(out.Warnings, page.Note{Text: n.text, Remedy: n.remedy, From: n.from})
	}
	return out
}

// columnsTable lists the columns with three rows, before and after.
func (p *Plan) columnsTable() page.Table {
	t := page.Table{Title: "Columns", Head: []string{"header", "taken as"}}
	var rows []item
	for _, it := range p.items {
		if len(rows) < samples {
			rows = append(rows, it)
			t.Head = append(t.Head, fmt.Sprintf("row %d", it.row.number))
		}
	}
	var left, dropped []string
	for _, c := range p.columns {
		name := c.header
		if name == "" {
			name = fmt.Sprintf("@%d", c.index+1)
		}
		switch {
		case c.drop:
			dropped = append(dropped, name)
			continue
		case c.to == nil && c.header != "":
			left = append(left, name)
		}
		if c.to == nil {
			continue
		}
		as := c.to.name
		if c.from > 0 {
			as += fmt.Sprintf(" from %d", c.from)
		}
		line := []string{short(name, 30), as}
		for _, it := range rows {
			line = append(line, change(it, c))
		}
		t.Rows = append(t.Rows, line)
	}
	if len(left) > 0 {
		t.Note = "Left out, since no column is known for them: " + strings.Join(left, ", ") + ". "
	}
	if len(dropped) > 0 {
		t.Note += "Dropped as asked: " + strings.Join(dropped, ", ") + "."
	}
	return t
}

// change shows a cell before and after.
func change(it item, c column) string {
	before, after, n := short(it.row.cell(c.index).text, 24), "", 0
	for _, f := range it.fields {
		if f.Column == c.to.name {
			if after = short(f.Text, 24); c.to.name == "prices" && after != "" {
				n++
			}
		}
	}
	switch {
	case before == after || n > 1:
		return before
	case after == "":
		return before + " → ?"
	}
	return before + " → " + after
}
