package intake

// A Column is a column of the file and what it is taken for.
type Column struct {
	Header  string
	At      int    // from 1
	As      string // column of the kind; "" if it is left out
	Private bool   // its header looks like names, addresses or messages
	Sample  string // the first cell below the header that is not empty; none of what looks personal
}

// Targets returns the columns that a kind has, and which are needed.
func Targets(kind string) (names []string, needed map[string]bool) {
	needed = map[string]bool{}
	for _, t := range targets[kind] {
		names = append(names, t.name)
		needed[t.name] = t.needed
	}
	return names, needed
}

// Columns returns the columns of the file; none if it could not be read as a table.
func (p *Plan) Columns() (all []Column) {
	if p.sheet == nil || len(p.sheet.rows) == 0 {
		return nil
	}
	columns := p.columns
	if columns == nil { // what was said of them does not fit
		columns, _ = columnsOf(p.sheet, p.head, targets[p.Kind], Options{Kind: p.Kind, NoHeader: p.Options.NoHeader})
	}
	for _, c := range columns {
		one := Column{Header: c.header, At: c.index + 1, Private: privateHeader(c.header, p.Kind), Sample: p.sample(c)}
		if one.Private {
			one.Sample = ""
		}
		if c.to != nil && !c.drop {
			one.As = c.to.name
		}
		if c.header != "" || one.Sample != "" {
			all = append(all, one)
		}
	}
	return all
}

func (p *Plan) sample(c column) string {
	below := len(p.head.cells) == 0
	for _, r := range p.sheet.rows {
		if text := r.cell(c.index).text; below && text != "" {
			return short(text, 30)
		}
		below = below || r.number == p.head.number
	}
	return ""
}

// KindOf says of what kind the rows of a file look to be: that of which more columns are found than of any other; "" where no kind
// stands out.
func KindOf(name string, data []byte) string {
	s, err := tableOf(name, data, "")
	if err != nil {
		return ""
	}
	kind, most := "", 0
	for _, one := range Kinds() {
		p := Plan{Kind: one, Options: Options{Kind: one}, sheet: s}
		if _, err := p.layout(); err != nil {
			continue
		}
		found := 0
		for _, c := range p.columns {
			if c.to != nil {
				found++
			}
		}
		switch {
		case found > most:
			kind, most = one, found
		case found == most:
			kind = ""
		}
	}
	return kind
}
