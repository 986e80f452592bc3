package reference

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// WriteText lists the outcomes, each with its source, and counts them.
//
//	width  of a line, where words allow
func WriteText(w io.Writer, outcomes []Outcome, width int) error {
	var b strings.Builder
	topic, note := "", ""
	flush := func(next string) {
		if note != "" && note != next {
			wrap(&b, "      note: ", note, width)
		}
		note = next
	}
	for _, o := range outcomes {
		if o.Topic != topic {
			flush("")
			topic = o.Topic
			b.WriteString("\n" + topic + "\n")
		}
		flush(o.Note)
		o.write(&b, width)
	}
	flush("")
	missed := Missed(outcomes)
	fmt.Fprintf(&b, "\n%d checks: %d pass, %d miss\n", len(outcomes), len(outcomes)-missed, missed)
	_, err := io.WriteString(w, b.String())
	return err
}

// JSON returns one object: {"checks":[{"id","topic","what","got","want","tolerance","unit","pass",
// "source","status","note"}],"pass","miss"}; got is null where there is no number, and "none" says why.
func JSON(outcomes []Outcome) []byte {
	type line struct {
		ID        string   `json:"id"`
		Topic     string   `json:"topic"`
		What      string   `json:"what"`
		Got       *float64 `json:"got"`
		None      string   `json:"none,omitempty"`
		Want      float64  `json:"want"`
		Tolerance float64  `json:"tolerance"`
		Unit      string   `json:"unit"`
		Pass      bool     `json:"pass"`
		Source    string   `json:"source"`
		Status    string   `json:"status"`
		Note      string   `json:"note,omitempty"`
	}
	all := struct {
		Checks []line `json:"checks"`
		Pass   int    `json:"pass"`
		Miss   int    `json:"miss"`
	}{Checks: []line{}, Miss: Missed(outcomes)}
	for i, o := range outcomes {
		l := line{o.ID, o.Topic, o.What, &outcomes[i].Got, "", o.Want, o.Tol, o.Unit, o.Pass(), o.Source, o.Status, o.Note}
		if o.Err != nil {
			l.Got, l.None = nil, o.Err.Error()
		}
		all.Checks = append(all.Checks, l)
	}
	all.Pass = len(outcomes) - all.Miss
	text, err := json.Marshal(all)
	if err != nil {
		panic(err) // every number is finite
	}
	return append(text, '\n')
}

// write writes one outcome: whether it passes, what was got and wanted, and the source.
func (o Outcome) write(b *strings.Builder, width int) {
	mark := "pass  "
	if !o.Pass() {
		mark = "MISS  "
	}
	unit := o.Unit
	if unit != "" {
		unit = " " + unit
	}
	got := number(o.Got, 8) + unit
	if o.Err != nil {
		got = "none: " + o.Err.Error()
	}
	wrap(b, "  "+mark, fmt.Sprintf("%s: %s, want %s ± %s%s. %s [%s]", o.ID, got, number(o.Want, 12), number(o.Tol, 3), unit, o.Source, o.Status), width)
	if !o.Pass() {
		wrap(b, "        ", o.What, width)
	}
}

// number writes so many significant digits, without an exponent where that is short.
func number(x float64, digits int) string {
	if size := math.Abs(x); size >= 1e5 && size < 1e9 {
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', digits, 64)
}

// wrap writes words after a head; further lines are indented as far.
func wrap(b *strings.Builder, head, text string, width int) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(head))
	line := head
	for i, word := range strings.Fields(text) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line = indent
		} else if i > 0 {
			line += " "
		}
		line += word
	}
	b.WriteString(line + "\n")
}
