package reference

import (
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
