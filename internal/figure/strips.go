package figure

import (
	"fmt"
	"strings"
)

// Strips puts small strips side by side: a row for each promise, a column for each choice. All strips of a row share one axis.
type Strips struct {
	Title   string
	Columns []string
	Rows    []StripsRow
	Source  string // input file and date, for the small line below; may be empty
}

// StripsRow is one promise: a cell for each column, missing ones are empty.
type StripsRow struct {
	Name  string
	Cells []StripsCell
}

// StripsCell is a promise of one choice.
type StripsCell struct {
	Strip   Plot   // a Strip or Ends; nil: nothing is drawn
	Verdict string // "met", "unproven", "not met", "no evidence"; empty: there is no such promise
	Same    bool   // it is the first column's: not computed again
}

// verdictLetters stand for verdicts where words have no room.
var verdictLetters = map[string]string{"met": "M", "unproven": "U", "not met": "N", "no evidence": "-", "": " "}

const stripsTall = 20.0 // px, one strip

// Drawing lays the rows out; width 0 is that of a figure.
func (s Strips) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: s.Title, Description: s.describe()}
	if len(s.Rows) == 0 || len(s.Columns) == 0 {
		d.foot(20, s.Source)
		return d
	}
	wide := width / float64(len(s.Columns))
	y := d.heads(s.Columns, 0, wide)
	for _, row := range s.Rows {
		for _, l := range wrapped(minus(row.Name), 12, width) {
			y += 16
			d.write(0, y, 12, Ink, Start, l)
		}
		y += 5
		axis, ok := row.axis(wide - 10)
		for i, c := range row.Cells[:min(len(row.Cells), len(s.Columns))] {
			d.stripsCell(c, axis, ok, wide*float64(i), y, wide-10)
		}
		y += stripsTall + 17
		d.line(0, y, width, y, Stroke{Role: Rule, Width: 1})
	}
	y = d.stripsKey(y + 17)
	d.foot(y+10, s.Source)
	return d
}

// axis is that which all strips of the row share, over a width in px.
func (r StripsRow) axis(width float64) (a axis, ok bool) {
	var marks []Mark
	b := bound{limit, -limit}
	for _, c := range r.Cells {
		if s, is := c.Strip.(Strip); is {
			marks = append(marks, tidy(s.Marks)...)
			one := newBound(s.Min, s.Max)
			b, ok = bound{min(b.min, one.min), max(b.max, one.max)}, true
		}
	}
	if !ok {
		return a, false
	}
	return stripAxis(marks, b, 0, width), true
}

// stripsCell draws a strip without its words, and its verdict below.
func (d *Drawing) stripsCell(c StripsCell, a axis, ok bool, x, y, wide float64) {
	switch s := c.Strip.(type) {
	case Strip:
		if !ok {
			break
		}
		marks, b := tidy(s.Marks), newBound(s.Min, s.Max)
		at := func(v float64) float64 { return x + min(max(a.at(v), 0), wide) }
		if b.any() {
			d.band(at(b.min), at(b.max), y, y+stripsTall)
		}
		for i, m := range marks {
			role, tall := Ink, y+stripsTall*(float64(i)+0.5)/float64(len(marks))
			if !b.holds(m.Low) || !b.holds(m.High) {
				role = Over
			}
			d.line(at(m.Low), tall, at(m.High), tall, Stroke{Role: role, Width: inside})
			d.Ops = append(d.Ops, Circle{Point{at(m.Best), tall}, 2, role, Stroke{}})
		}
	case Ends:
		for i, m := range s.Marks {
			if i == 0 {
				d.endSteps(min(m.End, Hazard), x, y+stripsTall-stepTall-2)
			}
		}
	}
	word, role := c.Verdict, Soft
	if word == "not met" {
		role = Over
	}
	if textWidth(word, 10.5) > wide {
		word = strings.TrimSpace(minus(verdictLetters[word]))
	}
	if c.Same && textWidth(word+" =", 10.5) <= wide {
		word += " ="
	}
	d.write(x, y+stripsTall+12, 10.5, role, Start, fit(word, 10.5, wide+6))
}

const stripsKeyText = "M met, U unproven, N not met, - no evidence; = rests on all the same as the first"

func (d *Drawing) stripsKey(y float64) float64 {
	lines := wrapped(minus(stripsKeyText), small, d.Width)
	for i, l := range lines {
		d.write(0, y+14*float64(i), small, Soft, Start, l)
	}
	return y + 14*float64(len(lines)-1)
}

// describe tells the rows in words, for readers by ear.
func (s Strips) describe() string {
	var said []string
	for _, r := range s.Rows {
		var cells []string
		for i, c := range r.Cells[:min(len(r.Cells), len(s.Columns))] {
			if c.Verdict != "" {
				cells = append(cells, fmt.Sprintf("%s %s", s.Columns[i], c.Verdict))
			}
		}
		said = append(said, r.Name+": "+strings.Join(cells, ", ")+".")
	}
	return strings.Join(said, " ")
}

// Text writes a letter a cell; the columns are numbered, and named below.
func (s Strips) Text(width int, style TextStyle) []string {
	out := []string{style.Shorten(s.Title, width), ""}
	if len(s.Rows) == 0 || len(s.Columns) == 0 {
		return append(out, "no data")
	}
	const each = 3
	most := max(1, min(len(s.Columns), (width-16)/each))
	name := width - each*most
	head := Pad("", name, false)
	for i := range most {
		head += Pad(number(float64(i+1), 0), each, true)
	}
	out = append(out, head)
	for _, r := range s.Rows {
		lines := Wrap(style.Show(minusASCII(r.Name)), name-1)
		for k, l := range lines {
			line := Pad(l, name, false)
			for i := 0; k == 0 && i < most; i++ {
				letter := " "
				if i < len(r.Cells) {
					letter = verdictLetters[r.Cells[i].Verdict]
				}
				if letter = Pad(letter, each, true); strings.HasSuffix(letter, "N") {
					letter = style.sgr(sgrOver, letter)
				}
				line += letter
			}
			out = append(out, strings.TrimRight(line, " "))
		}
	}
	out = append(out, "")
	for i, c := range s.Columns {
		text := number(float64(i+1), 0) + "  " + minusASCII(c)
		if i >= most {
			text = "no room for " + minusASCII(c)
		}
		out = append(out, style.Shorten(text, width))
	}
	for _, l := range Wrap("M met, U unproven, N not met, - no evidence", width) {
		out = append(out, style.Shorten(l, width))
	}
	return out
}
