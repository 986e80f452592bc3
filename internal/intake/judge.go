package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"hindwatt/internal/product"
)

// judge checks the rows as they would be recorded. Rows that are wrong are taken out, and the others are judged without them: what is
// right alone may contradict the records once they are gone, and the other way round.
func (p *Plan) judge(folder *product.Folder) error {
	const rounds = 50
	for n := 0; ; n++ {
		fresh, at := p.fresh()
		if len(fresh) == 0 {
			return nil
		}
		if n == rounds {
			return fmt.Errorf("%s: each row that is left out makes another one contradict the records, %d times on end; mend the file", p.sheet.called(), rounds)
		}
		faults, broken, err := folder.Judge(p.Kind, fresh)
		if err != nil {
			return err
		}
		before := p.bad
		for i, list := range faults {
			for _, e := range list {
				p.fault(&p.items[at[i]], -1, e)
			}
		}
		for _, b := range broken {
			if b.Row >= 0 {
				p.fault(&p.items[at[b.Row]], -1, b.Error)
			}
		}
		switch {
		case p.bad == before:
			p.contradictions(broken, at)
			return nil
		case len(broken) > 0 && !p.Options.SkipBad:
			return nil
		}
	}
}

// contradictions notes what the rows bring into rows that are written already. Where one names the line that a row of the file would
// have, the row's own place is said.
func (p *Plan) contradictions(broken []product.Breach, at []int) {
	line := regexp.MustCompile(regexp.QuoteMeta(p.into()) + `:(\d+)`)
	for _, b := range broken {
		text := line.ReplaceAllStringFunc(b.Error.Error(), func(s string) string {
			n, err := strconv.Atoi(s[strings.LastIndexByte(s, ':')+1:])
			if n -= b.First; err != nil || n < 0 || n >= len(at) {
				return s
			}
			return p.sheet.rowPlace(p.items[at[n]].row.number)
		})
		p.notes = append(p.notes, noted{"with these rows the records contradict themselves: " + text, "", ""})
	}
}

// fault notes what is wrong with a row, at the cell of a column of the plan, or, where that is -1, at the cell that the key came from.
func (p *Plan) fault(it *item, column int, e *product.Error) {
	if !it.bad {
		it.bad = true
		p.bad++
	}
	place := p.sheet.rowPlace(it.row.number)
	for i, c := range p.columns {
		if i == column || column < 0 && c.to != nil && c.to.name == e.Key {
			place = p.sheet.place(it.row, c.index)
		}
	}
	text := e.Problem
	if e.Value != "" {
		text = fmt.Sprintf("%q: %s", short(e.Value, 60), text)
	}
	if e.Key != "" {
		text = e.Key + ": " + text
	}
	if e.Want != "" {
		text += "; " + e.Want
	}
	p.faults = append(p.faults, Fault{place, text, it.row.number})
}

// fresh returns the rows that are to be written, and their positions among the items.
func (p *Plan) fresh() (rows [][]product.Field, at []int) {
	for i, it := range p.items {
		if !it.there && !it.bad {
			rows, at = append(rows, it.fields), append(at, i)
		}
	}
	return rows, at
}

// known marks the rows that the folder has already: as many of equal ones as it has, by the columns that the file gives.
func (p *Plan) known(folder *product.Folder) {
	given := map[string]bool{}
	for _, it := range p.items {
		for _, f := range it.fields {
			given[f.Column] = true
		}
	}
	for _, c := range p.columns {
		if c.to != nil {
			given[c.to.name] = true
		}
	}
	var columns []string
	for _, t := range targets[p.Kind] {
		if given[t.name] {
			columns = append(columns, t.name)
		}
	}
	have, means := map[string]int{}, meanings{}
	for _, row := range folder.Texts(p.Kind) {
		have[means.signature(row, columns)]++
	}
	for i := range p.items {
		it := &p.items[i]
		it.there = false
		if it.bad || len(have) == 0 {
			continue
		}
		if key := means.signature(it.fields, columns); have[key] > 0 {
			have[key]--
			it.there = true
		}
	}
}
