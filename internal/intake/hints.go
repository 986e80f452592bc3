package intake

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
)

// nearly offers headers that are spelt nearly like one for a column that is not taken.
func nearly(s *sheet, columns []column, known []target) {
	for _, c := range columns {
		if c.to != nil || c.drop || c.header == "" {
			continue
		}
		for _, t := range known {
			if !t.needed && !slices.ContainsFunc(columns, func(c column) bool { return c.to != nil && c.to.name == t.name }) && near(c.header, t) {
				s.note(fmt.Sprintf("%q is left out, and may be %s", c.header, t.name), fmt.Sprintf("take it with --map \"%s=%s\"", t.name, c.header))
				break
			}
		}
	}
}

// lacking reports columns that every row needs and the table does not have, with headers that are spelt nearly so.
func lacking(s *sheet, columns []column, known []target) error {
	for _, t := range known {
		if !t.needed || slices.ContainsFunc(columns, func(c column) bool { return c.to != nil && c.to.name == t.name }) {
			continue
		}
		hint := fmt.Sprintf("want --map \"%s=HEADER\", with one of: %s", t.name, headersOf(columns))
		for _, c := range columns {
			if c.to == nil && (near(c.header, t) || fits(s, c, t)) {
				hint = fmt.Sprintf("did you mean --map \"%s=%s\"?", t.name, c.header)
				break
			}
		}
		return fmt.Errorf("%s: no column is known as %s; %s", s.called(), t.name, hint)
	}
	return nil
}

// fits reports whether the cells under a header are what the column holds, days or money.
func fits(s *sheet, c column, t target) bool {
	fit, seen := 0, 0
	for _, r := range s.rows[:min(len(s.rows), headerRows)] {
		one := r.cell(c.index)
		if one.text == "" || one.text == c.header {
			continue
		}
		seen++
		switch _, err := readDay(one.text, false); {
		case t.is == aDay && (err == nil || one.form != nil && one.form.day):
			fit++
		case t.is == aMoney && strings.ContainsAny(one.text, "€$£") && digitsIn(one.text) > 0:
			fit++
		}
	}
	return fit > 0 && 2*fit > seen
}

// near reports whether a header is spelt nearly like a word for the column, or holds it.
func near(header string, t target) bool {
	f := folded(header)
	known := append(slices.Clone(t.words), folded(t.name))
	holds := slices.ContainsFunc(known, func(w string) bool { return len(w) >= 4 && strings.Contains(f, w) })
	return holds || tree.Nearest(f, known) != ""
}

func namesOf(known []target) string {
	var names []string
	for _, t := range known {
		names = append(names, t.name)
	}
	return strings.Join(names, ", ")
}

func headersOf(columns []column) string {
	var all []string
	for i, c := range columns {
		switch {
		case c.header == "":
			all = append(all, fmt.Sprintf("@%d", i+1))
		default:
			all = append(all, fmt.Sprintf("%q", short(c.header, 40)))
		}
	}
	if len(all) > 24 {
		return strings.Join(all[:24], ", ") + ", …"
	}
	return strings.Join(all, ", ")
}
