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
	out := page.Page{ID: "import", Question: "What would be taken from " + p.sheet.title() + "?", Short: "Import"}
	out.Answer = []string{p.answer()}
	if len(p.dropped) > 0 {
		out.Answer = append(out.Answer, "No data: "+strings.Join(p.dropped, ", ")+".")
	}
	out.Tables = append(out.Tables, p.columnsTable())
	if faults := p.Faults(); len(faults) > 0 {
		t := page.Table{Title: "What is wrong", Head: []string{"where", "what"}}
		for _, f := range faults[:min(shown, len(faults))] {
			t.Rows = append(t.Rows, []string{f.Place, f.Text})
		}
		if more := len(faults) - shown; more > 0 {
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

// answer says in a sentence how many rows would be taken.
func (p *Plan) answer() string {
	fresh, there, wrong := p.Rows()
	called, into := p.sheet.title(), p.into()
	already := ""
	if there > 0 {
		already = fmt.Sprintf("; %d %s there already", there, agree(there, "is", "are"))
	}
	switch {
	case wrong > 0 && !p.Options.SkipBad && fresh > 0:
		return fmt.Sprintf("Nothing yet: of %s of %s, %d %s wrong; --skip-bad takes the other %d into %s%s.",
			plural(p.rows, "row"), called, wrong, agree(wrong, "is", "are"), fresh, into, already)
	case wrong > 0 && fresh == 0:
		return fmt.Sprintf("Nothing: %s of %s %s wrong%s.", agree(wrong, "1 row", fmt.Sprintf("%d rows", wrong)), called, agree(wrong, "is", "are"), already)
	case wrong > 0:
		return fmt.Sprintf("%d of %s of %s would go into %s; %d %s wrong and left out%s.",
			fresh, plural(p.rows, "row"), called, into, wrong, agree(wrong, "is", "are"), already)
	case fresh == 0:
		return fmt.Sprintf("Nothing: %s of %s %s in %s already.", agree(there, "the only row", fmt.Sprintf("all %d rows", there)), called, agree(there, "is", "are"), into)
	case there > 0:
		return fmt.Sprintf("%d of %s of %s would go into %s%s.", fresh, plural(p.rows, "row"), called, into, already)
	}
	return fmt.Sprintf("%s of %s would go into %s.", agree(fresh, "The only row", fmt.Sprintf("All %d rows", fresh)), called, into)
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
	for i, c := range p.columns {
		switch {
		case c.drop:
			dropped = append(dropped, c.called())
		case c.to != nil:
			t.Rows = append(t.Rows, p.columnRow(i, rows))
		case c.header != "":
			left = append(left, c.called())
		}
	}
	if len(left) > 0 {
		t.Note = "Left out, since no column is known for them: " + strings.Join(left, ", ") + ". "
	}
	if len(dropped) > 0 {
		t.Note += "Dropped as asked: " + strings.Join(dropped, ", ") + "."
	}
	return t
}

func (p *Plan) columnRow(column int, rows []item) []string {
	c := p.columns[column]
	as := c.to.name
	if c.from > 0 {
		as += fmt.Sprintf(" from %d", c.from)
	}
	line := []string{short(c.called(), 30), as}
	for _, it := range rows {
		line = append(line, p.change(it, column))
	}
	return line
}

// change shows a cell of a column, by its position, before and after.
func (p *Plan) change(it item, column int) string {
	before, after := short(it.row.cell(p.columns[column].index).text, 24), ""
	for i, f := range it.fields {
		if it.from[i] == column {
			after = short(f.Text, 24)
		}
	}
	switch {
	case before == after:
		return before
	case after == "":
		return before + " → ?"
	case before == "":
		return "→ " + after
	}
	return before + " → " + after
}

// agree chooses the words for a number of things.
func agree(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
