package intake

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/product"
)

// Options say how a file is to be taken.
type Options struct {
	Kind     string   // one of Kinds
	Map      []string // "column=header", "column=@3"
	Without  []string // headers of columns that are dropped
	Harmless []string // headers of columns that look personal and are not
	Sheet    string   // of a workbook
	NoHeader bool     // the first row is data; every column is named by Map
	Dates    string   // dmy, mdy, ymd; "" if the file decides
	Decimal  string   // "." or ","; "" if the file decides
	Units    []string // "column=unit" for numbers without one
	Currency string   // of amounts without one, and of signs that stand for several
	SkipBad  bool     // leave out rows that are wrong, and take the others
}

// Plan is what would be done with a file.
type Plan struct {
	Kind    string
	Options Options
	dir     string
	sheet   *sheet
	head    row // of the table; empty if it has none
	columns []column
	refused error  // columns that look personal
	items   []item // rows that can be taken, those that are there already too
	faults  []Fault
	dropped []string // rows that are no data, and why
	notes   []noted
	rows    int
	text    string // of the tables of a bill of materials
	bad     int
}

// item is one row as it would be recorded.
type item struct {
	row    row
	fields []product.Field
	from   []int  // of each field: the position among the columns; -1: of none
	until  string // end of a period that its day names
	there  bool   // the folder has it already
	bad    bool
}

// Fault is what is wrong with a cell or a row of the file.
type Fault struct {
	Place, Text string
	row         int
}

// Error returns "orders.csv:17:3: what is wrong; what is accepted".
func (f Fault) Error() string { return f.Place + ": " + f.Text }

// Prepare reads a file and works out what each of its rows would be in the product folder dir. Nothing is written. Errors are those of the
// folder, of the file as a whole, of columns that look personal, and of days and numbers that can be read in two ways; what is wrong with
// single rows is in the plan.
func Prepare(dir, path string, o Options) (*Plan, error) {
	p, err := prepare(dir, o, func() (*sheet, error) { return readTable(path, o.Sheet) })
	if err != nil {
		return nil, err
	}
	return p, nil
}

// PrepareData is Prepare of what a file of that name holds. Where it fails but the table could be read,
// the plan has its Columns still, so that they can be matched by hand; it is not Ready then.
func PrepareData(dir, name string, data []byte, o Options) (*Plan, error) {
	return prepare(dir, o, func() (*sheet, error) { return tableOf(name, data, o.Sheet) })
}

func prepare(dir string, o Options, table func() (*sheet, error)) (*Plan, error) {
	p := &Plan{Kind: o.Kind, Options: o, dir: dir}
	if err := checked(o); err != nil {
		return p, err
	}
	folder, err := product.Read(dir)
	if err != nil {
		return p, err
	}
	base, err := folder.Resolve("")
	if err != nil {
		return p, err
	}
	if p.sheet, err = table(); err != nil {
		return p, err
	}
	if err := p.take(folder, base); err != nil {
		return p, err
	}
	if o.Kind == "bom" {
		p.bom(base)
		return p, nil
	}
	p.known(folder)
	if err := p.judge(folder); err != nil {
		p.items = nil
		return p, err
	}
	return p, nil
}

// take turns the rows of the table into items.
func (p *Plan) take(folder *product.Folder, base *product.Product) error {
	rows, err := p.layout()
	if err != nil {
		return err
	}
	c := &converter{plan: p, base: base, folder: folder, decimal: either, orders: anyOrder, readings: map[written]reading{}}
	if err := errors.Join(p.refused, c.settle(rows)); err != nil {
		return err
	}
	for _, col := range p.columns {
		if col.to != nil {
			c.taken++
		}
	}
	p.items = make([]item, 0, len(rows))
	for _, r := range rows {
		p.items = append(p.items, c.row(r))
	}
	p.sheet.mergesIn(p.columns)
	p.notes = append(p.sheet.notes, c.said()...)
	return nil
}

func checked(o Options) error {
	switch {
	case !slices.Contains(Kinds(), o.Kind):
		return fmt.Errorf("--as %q: there is no such kind; want %s", o.Kind, strings.Join(Kinds(), ", "))
	case o.Dates != "" && orderNames[o.Dates] == 0:
		return fmt.Errorf("--dates %q: want dmy, mdy or ymd", o.Dates)
	case o.Decimal != "" && o.Decimal != "." && o.Decimal != ",":
		return fmt.Errorf("--decimal %q: want . or ,", o.Decimal)
	case o.Currency != "" && (!currencyWord(o.Currency) || len(o.Currency) != 3 || strings.ContainsAny(o.Currency, "$€£¥")):
		return fmt.Errorf("--currency %q: want a code of ISO 4217 such as EUR", o.Currency)
	case o.NoHeader && len(o.Map) == 0:
		return errors.New("--no-header needs --map column=@1 and so on: nothing else names the columns")
	}
	return nil
}

// layout finds the header and the rows below it that are data.
func (p *Plan) layout() ([]row, error) {
	s, o := p.sheet, p.Options
	if len(s.rows) == 0 {
		return nil, fmt.Errorf("%s: is empty; want a table with a header", s.called())
	}
	known, at := targets[o.Kind], -1
	if !o.NoHeader {
		if at = findHeader(s, known, o); at < 0 {
			at = 0
		}
	}
	head := row{}
	if at >= 0 {
		head = s.rows[at]
	}
	p.head = head
	var err error
	if p.columns, err = columnsOf(s, head, known, o); err != nil {
		// what looks personal is told first: its columns are not to be mapped
		if found := suspect(s, p.columns, s.rows[at+1:], o.Kind); len(found) > 0 {
			err = errors.Join(refusal(s, found), err)
		}
		return nil, err
	}
	if at > 0 {
		p.dropped = append(p.dropped, plural(at, "row")+" above the header")
	}
	data := p.data(s.rows[at+1:], head)
	if found := suspect(s, p.columns, data, o.Kind); len(found) > 0 {
		p.refused = refusal(s, found)
	}
	if len(data) == 0 {
		return nil, fmt.Errorf("%s: has no rows below the header; want at least one", s.called())
	}
	p.rows = len(data)
	return data, nil
}

var sumWords = words("total,totals,sum,subtotal,grand total")

// data leaves out headers that are repeated, sums, and rows with nothing in the columns that are taken.
func (p *Plan) data(rows []row, head row) (data []row) {
	heads, sums, empty := 0, 0, 0
	for _, r := range rows {
		first, taken, same := "", false, len(head.cells) > 0
		for i, c := range r.cells {
			if first == "" {
				first = c.text
			}
			same = same && c.text == head.cell(i).text
		}
		for _, c := range p.columns {
			one := r.cell(c.index)
			taken = taken || c.to != nil && !one.filled && (one.text != "" || one.fault != "" || one.sum)
		}
		switch {
		case same:
			heads++
		case len(first) < 20 && slices.Contains(sumWords, folded(first)):
			sums++
		case !taken:
			empty++
		default:
			data = append(data, r)
		}
	}
	for _, d := range []struct {
		n    int
		what string
	}{{heads, " that repeat the header"}, {sums, " of totals"}, {empty, " with nothing in the columns that are taken"}} {
		if d.n > 0 {
			p.dropped = append(p.dropped, plural(d.n, "row")+d.what)
		}
	}
	return data
}

// Rows returns how many rows would be written, how many are there already, and how many are wrong.
func (p *Plan) Rows() (fresh, there, wrong int) {
	for _, it := range p.items {
		switch {
		case it.bad:
			wrong++
		case it.there:
			there++
		default:
			fresh++
		}
	}
	return fresh, there, wrong
}

// Faults returns what is wrong with single rows, in the order of the file.
func (p *Plan) Faults() []Fault {
	slices.SortStableFunc(p.faults, func(a, b Fault) int { return a.row - b.row })
	return p.faults
}

// Ready reports whether Write would write anything.
func (p *Plan) Ready() bool {
	fresh, _, wrong := p.Rows()
	return fresh > 0 && (wrong == 0 || p.Options.SkipBad)
}

// Write writes the rows of the plan, all or none, and returns where. It looks again at what the folder holds, so that nothing that was
// written since Prepare is taken twice.
func (p *Plan) Write() (product.Recorded, error) {
	if !p.Ready() {
		return product.Recorded{}, errors.New("there is nothing to write; want rows that are right and not there yet")
	}
	if p.Kind == "bom" {
		change, err := product.AppendTables(p.dir, "production.toml", p.text)
		return product.Recorded{Change: change}, err
	}
	done, err := product.RecordChosen(p.dir, p.Kind, func(f *product.Folder) [][]product.Field {
		p.known(f)
		rows, _ := p.fresh()
		return rows
	})
	if err == nil && done.Line == 0 {
		err = errors.New("the rows have been recorded meanwhile; nothing was written")
	}
	return done, err
}
