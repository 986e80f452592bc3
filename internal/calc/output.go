package calc

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Output is one calculation, ready to be shown.
type Output struct {
	Calc, Question  string
	Inputs          []Pair // as understood
	Results         []Figure
	Formula, Source string
	Note            string     // how intervals were got, may be empty
	Warnings        []string   // shown wherever the results are
	Table           [][]string // a heading and rows, may be empty
}

// A Figure is one result; its Unit is set.
type Figure struct {
	Key string
	Answer
}

// Complete reports whether every result exists; the exit code is 1 if not.
func (o Output) Complete() bool {
	for _, f := range o.Results {
		if f.None != "" {
			return false
		}
	}
	return true
}

// Value returns the result of a key in its unit; ok is false if it does not exist or has no bound.
func (o Output) Value(key string) (v float64, unit string, ok bool) {
	for _, f := range o.Results {
		if f.Key == key {
			return f.Answer.Value, f.Unit, f.None == "" && !f.Open
		}
	}
	return 0, "", false
}

// JSON returns one object,
//
//	{"calc","results":{KEY:{"value","unit"[,"low","high"][,"open"]}},"formula","source"}
//
// in which a result that does not exist is {"none":"why"} and one that has no bound has the
// value null and "open":["high"].
func (o Output) JSON() []byte {
	var b strings.Builder
	b.WriteString(`{"calc":` + quoted(o.Calc) + `,"results":{`)
	for i, f := range o.Results {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(quoted(f.Key) + ":" + f.json())
	}
	b.WriteString(`},"formula":` + quoted(o.Formula) + `,"source":` + quoted(o.Source) + "}\n")
	return []byte(b.String())
}

func (f Figure) json() string {
	if f.None != "" {
		return `{"none":` + quoted(f.None) + `}`
	}
	if f.Open {
		return `{"value":null,"unit":` + quoted(f.Unit) + `,"open":["high"]}`
	}
	s := `{"value":` + number(f.Answer.Value) + `,"unit":` + quoted(f.Unit)
	if f.Interval {
		s += `,"low":` + number(f.Low) + `,"high":` + number(f.High)
	}
	return s + "}"
}

// number writes the fewest digits from which x is read back; +0 makes of -0 a 0.
func number(x float64) string { return strconv.FormatFloat(x+0, 'g', -1, 64) }

func quoted(s string) string {
	b, _ := json.Marshal(s) // a string never fails
	return string(b)
}

// Text writes the calculation for reading, in lines of at most width characters where words allow.
func (o Output) Text(w io.Writer, width int) error {
	p := printer{width: max(width, 40)}
	p.line(o.Calc)
	p.wrap("  ", o.Question)
	p.line("")
	p.pairs(o.Inputs)
	p.line("")
	var results []Pair
	for _, f := range o.Results {
		results = append(results, Pair{f.Key, f.text()})
	}
	p.pairs(results)
	p.table(o.Table)
	p.line("")
	p.field("formula", o.Formula)
	p.field("source", o.Source)
	if o.Note != "" {
		p.field("interval", o.Note)
	}
	for _, warning := range o.Warnings {
		p.field("note", warning)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// text writes a figure as "14.04 V  (13.94 V to 14.14 V)".
func (f Figure) text() string {
	if f.None != "" {
		return "none: " + f.None
	}
	if f.Open {
		return "unbounded"
	}
	s := withUnit(f.Answer.Value, f.Unit)
	if f.Interval {
		s += "  (" + withUnit(f.Low, f.Unit) + " to " + withUnit(f.High, f.Unit) + ")"
	}
	return s
}

// withUnit writes seven significant digits and the unit.
func withUnit(x float64, unit string) string {
	const digits = 7
	s := strconv.FormatFloat(x+0, 'g', digits, 64)
	if unit != "-" && unit != "" {
		s += " " + unit
	}
	return s
}

// printer lays out text.
type printer struct {
	b     strings.Builder
	width int
}

func (p *printer) line(s string) { p.b.WriteString(strings.TrimRight(s, " ") + "\n") }

// pairs writes names and values in two columns.
func (p *printer) pairs(list []Pair) {
	widest := 0
	for _, pair := range list {
		widest = max(widest, utf8.RuneCountInString(pair.Key))
	}
	for _, pair := range list {
		p.wrap("  "+pad(pair.Key, widest)+"  ", pair.Value)
	}
}

func (p *printer) field(name, text string) { p.wrap("  "+pad(name, 8)+"  ", text) }

// wrap writes words after a head; further lines are indented as far.
func (p *printer) wrap(head, text string) {
	line, indent := head, strings.Repeat(" ", utf8.RuneCountInString(head))
	for i, word := range strings.Fields(text) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > p.width {
			p.line(line)
			line = indent
		} else if i > 0 {
			line += " "
		}
		line += word
	}
	p.line(line)
}

// table writes a heading and rows in columns, the first flush left, the others flush right.
func (p *printer) table(rows [][]string) {
	if len(rows) == 0 {
		return
	}
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	p.line("")
	for _, row := range rows {
		line := "  " + pad(row[0], widths[0])
		for i, cell := range row[1:] {
			line += fmt.Sprintf("  %*s", widths[i+1], cell)
		}
		p.line(line)
	}
}

func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}

// WriteList writes the name and the question of every calculator.
func WriteList(w io.Writer, width int) error {
	p := printer{width: max(width, 40)}
	var list []Pair
	for _, c := range List() {
		list = append(list, Pair{c.Name, c.Question})
	}
	p.pairs(list)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// Help writes the inputs and results of one calculator.
func (c Calculator) Help(w io.Writer, width int) error {
	p := printer{width: max(width, 40)}
	p.line(c.Name)
	p.wrap("  ", c.Question)
	p.line("")
	var inputs, results []Pair
	for _, in := range c.Inputs {
		inputs = append(inputs, Pair{in.Name, in.describe()})
	}
	inputs = append(inputs, c.Free...)
	for _, r := range c.Results {
		results = append(results, Pair{r.Key, strings.TrimSuffix("["+r.Unit+"] "+r.Help, " ")})
	}
	p.pairs(inputs)
	p.line("")
	p.pairs(results)
	p.line("")
	p.field("formula", c.Formula)
	p.field("source", c.Source)
	_, err := io.WriteString(w, p.b.String())
	return err
}

func (in Input) describe() string {
	s := in.Help
	switch {
	case in.Default != "":
		s += " (default " + in.Default + ")"
	case in.Optional:
		s += " (may be left out)"
	}
	return s
}
