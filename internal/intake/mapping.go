package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hindwatt/internal/product/tree"
)

// mapGiven carries out what Map says: "column=header", or "column=@3" for the third column of the file.
func mapGiven(s *sheet, columns []column, known []target, o Options) error {
	for _, m := range o.Map {
		name, header, ok := strings.Cut(m, "=")
		name, header = strings.TrimSpace(name), strings.TrimSpace(header)
		if !ok || name == "" || header == "" {
			return fmt.Errorf("--map %q: want column=header, such as \"date=Order date\", or column=@3 for the third column", m)
		}
		to := slices.IndexFunc(known, func(t target) bool { return t.name == name })
		if to < 0 {
			hint := ""
			if n := tree.Nearest(name, strings.Split(namesOf(known), ", ")); n != "" {
				hint = fmt.Sprintf("did you mean %q? ", n+"="+header)
			}
			return fmt.Errorf("--map %q: there is no column %q of %s; %swant one of: %s", m, name, o.Kind, hint, namesOf(known))
		}
		at, err := located(columns, m, header)
		if err != nil {
			return err
		}
		switch {
		case at < 0:
			return fmt.Errorf("--map %q: %s has no column %q; want one of: %s", m, s.called(), header, headersOf(columns))
		case columns[at].drop:
			return fmt.Errorf("--map %q: --without drops that column; want one of the two", m)
		case columns[at].to != nil:
			return fmt.Errorf("--map %q: the column is %s already; want each once", m, columns[at].to.name)
		}
		for _, c := range columns {
			if c.given && c.to.name == name {
				return fmt.Errorf("--map %q: %s is given already; want each once", m, name)
			}
		}
		columns[at].to, columns[at].given = &known[to], true
	}
	return nil
}

// located returns the position of the column that is called header, or @3; -1 if there is none.
func located(columns []column, m, header string) (at int, err error) {
	if n, err := strconv.Atoi(strings.TrimPrefix(header, "@")); err == nil && header[0] == '@' {
		if n < 1 || n > len(columns) {
			return -1, fmt.Errorf("--map %q: the table has %s; want @1 to @%d", m, plural(len(columns), "column"), len(columns))
		}
		return n - 1, nil
	}
	at = -1
	for i, c := range columns {
		if folded(c.header) != folded(header) || c.header == "" {
			continue
		}
		if at >= 0 {
			return -1, fmt.Errorf("--map %q: two columns are called so; want @%d or @%d", m, at+1, i+1)
		}
		at = i
	}
	return at, nil
}

// unitsGiven checks what Units says: "column=unit".
func unitsGiven(known []target, o Options) error {
	for _, u := range o.Units {
		name, unit, _ := strings.Cut(u, "=")
		if !slices.ContainsFunc(known, func(t target) bool { return t.name == strings.TrimSpace(name) && t.is > aCount }) {
			return fmt.Errorf("--unit %q: %q is no column of %s that has a unit; want column=unit, such as \"time=h\"", u, name, o.Kind)
		}
		if unitWord(strings.TrimSpace(unit)) == "" {
			return fmt.Errorf("--unit %q: there is no unit %q here; want one such as h, min, EUR, V or A", u, unit)
		}
	}
	return nil
}
