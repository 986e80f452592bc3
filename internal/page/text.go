package page

import (
	"io"
	"strings"

	"hindwatt/internal/figure"
)

const narrowest = 30 // columns; narrower terminals get lines of this length

// paper collects the lines of a terminal page.
type paper struct {
	strings.Builder
	width int
	style figure.TextStyle
}

func newPaper(width int, style figure.TextStyle) *paper {
	return &paper{width: max(width, narrowest), style: style}
}

func (p *paper) line(s string) {
	p.WriteString(strings.TrimRight(s, " "))
	p.WriteByte('\n')
}

// blank ends a part: one empty line, never two.
func (p *paper) blank() {
	if s := p.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		p.WriteByte('\n')
	}
}

// put wraps a text behind a prefix; further lines are indented as far. paint sets each line's look.
func (p *paper) put(prefix, text string, paint func(string) string) {
	indent := figure.Columns(prefix)
	for i, l := range p.wrap(text, p.width-indent) {
		if i > 0 {
			prefix = strings.Repeat(" ", indent)
		}
		p.line(prefix + paint(l))
	}
}

// wrap shows a text in lines that do not end between a number and its unit.
func (p *paper) wrap(text string, columns int) []string {
	var lines []string
	for _, l := range figure.Wrap(bind(p.style.Show(text)), columns) {
		lines = append(lines, strings.ReplaceAll(l, "\u00a0", " "))
	}
	return lines
}

func plain(s string) string { return s }

// heading writes a part's name.
func (p *paper) heading(s string) {
	p.blank()
	p.put("", s, p.style.Bold)
}

// block writes finished lines, indented.
func (p *paper) block(indent int, lines []string) {
	for _, l := range lines {
		p.line(strings.Repeat(" ", indent) + l)
	}
}

func (p *paper) note(word string, n Note, paint func(string) string) {
	text := word + ": " + sentence(n.Text)
	for _, more := range []string{sentence(opening(n.Remedy)), bracketed(n.From)} {
		if more != "" {
			text += " " + more
		}
	}
	p.put("", text, paint)
}

func bracketed(s string) string {
	if s == "" {
		return ""
	}
	return "(" + s + ")"
}

func (p *paper) lack(prefix string, l Lack) {
	text := "missing: " + l.Key
	if l.File != "" {
		text += " in " + l.File
	}
	if l.Why != "" {
		text += ": " + sentence(l.Why)
	}
	p.put(prefix, text, plain)
}

// Text writes the page for a terminal of width columns: the answer, what to know about it, figures, tables, inputs, and how it was computed.
// It fails if w does.
func (p Page) Text(w io.Writer, width int, style figure.TextStyle) error {
	out := newPaper(width, style)
	out.put("", p.Question, style.Bold)
	for _, a := range p.Answer {
		out.blank()
		out.put("", a, plain)
	}
	out.notes(p)
	for _, f := range p.Figures {
		if f.Plot == nil {
			continue
		}
		out.blank()
		out.block(0, f.Plot.Text(out.width, style))
		if f.Caption != "" {
			out.put("", f.Caption, style.Soft)
		}
	}
	for _, t := range p.Tables {
		out.blank()
		out.table(t)
	}
	if len(p.Inputs) > 0 {
		out.blank()
		out.table(inputTable(p.Inputs))
	}
	out.how(p.How)
	_, err := io.WriteString(w, out.String())
	return err
}

func (p *paper) notes(page Page) {
	if len(page.Warnings)+len(page.Cautions)+len(page.Lacks) == 0 {
		return
	}
	p.blank()
	for _, n := range page.Warnings {
		p.note("warning", n, p.style.Warm)
	}
	for _, n := range page.Cautions {
		p.note("caution", n, plain)
	}
	for _, l := range page.Lacks {
		p.lack("", l)
	}
}

func (p *paper) how(steps []Method) {
	if len(steps) == 0 {
		return
	}
	p.heading("How it was computed")
	for _, m := range steps {
		p.put("- ", m.Text, plain)
		if m.Equation != "" {
			p.put("      ", m.Equation, p.style.Bold)
		}
		if m.Source != "" {
			p.put("  ", m.Source, p.style.Soft)
		}
	}
}

func inputTable(inputs []Input) Table {
	t := Table{Title: "Inputs", Head: []string{"name", "value", "from", "note"}}
	noted := false
	for _, i := range inputs {
		noted = noted || i.Note != ""
		t.Rows = append(t.Rows, []string{i.Name, i.Text, i.From, i.Note})
	}
	if !noted {
		t.Head = t.Head[:3]
	}
	return t
}
