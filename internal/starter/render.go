package starter

import (
	"bytes"
	"embed"
	"encoding/csv"
	"strings"
	"text/tabwriter"
	"text/template"

	"hindwatt/internal/quantity"
)

//go:embed templates
var templates embed.FS

// page is what the templates are filled with.
type page struct {
	given
	sizes
}

// names of the templates and of the files that they become.
var names = []string{
	productFile, "parts.toml", "promises.toml", "production.toml",
	"installations/example.toml", "bench/meters.toml", "README.md",
}

// render makes the folder's files, in order of reading.
func render(g given) ([]file, error) {
	p := page{g, size(g.Volts(), g.Amperes())}
	var files []file
	for _, name := range names {
		text, err := p.filled(name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{name, text})
	}
	for _, t := range g.tables() {
		files = append(files, file{"records/" + t.name + ".csv", t.text()})
	}
	return files, nil
}

// filled fills one template. In TOML a tab stands before a comment behind a value; the comments
// of lines that follow each other are lined up.
func (p page) filled(name string) ([]byte, error) {
	t, err := template.New("").Funcs(template.FuncMap{"volts": p.scaled, "pick": p.pick, "circuit": circuitText}).
		ParseFS(templates, "templates/"+name)
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	if !strings.HasSuffix(name, ".toml") {
		err = t.ExecuteTemplate(&text, base(name), p)
		return text.Bytes(), err
	}
	lined := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	if err := t.ExecuteTemplate(lined, base(name), p); err != nil {
		return nil, err
	}
	err = lined.Flush()
	return text.Bytes(), err
}

func base(name string) string { return name[strings.LastIndexByte(name, '/')+1:] }

// scaled makes a quantity of a 12 V product that of this one: twice as much at 24 V.
func (p page) scaled(text string) (string, error) {
	q, err := quantity.Parse(text)
	if err != nil {
		return "", err
	}
	times := p.Volts() / 12
	for _, x := range []*float64{&q.Value, &q.Low, &q.High, &q.SD} {
		*x *= times
	}
	return q.String(), nil
}

// pick takes the first for 12 V and the second for 24 V.
func (p page) pick(low, high string) string {
	if p.Volts() > 12 {
		return high
	}
	return low
}

// circuitText returns a ready circuit as TOML.
func circuitText(name string) (string, error) {
	text, err := templates.ReadFile("templates/circuits/" + name + ".toml")
	return string(text), err
}

// table is one file of records with its head and at most one row.
type table struct {
	name, columns string
	row           []string // one cell a column, or none
}

func (t table) text() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{strings.Split(t.columns, ",")}
	if t.row != nil {
		rows = append(rows, t.row)
	}
	if err := w.WriteAll(rows); err != nil {
		panic("starter: " + err.Error()) // a buffer takes everything
	}
	return b.Bytes()
}

// tables are the files of records, with a row for what was answered.
func (g given) tables() []table {
	sold := table{name: "sold", columns: "date,until,count,serial,channel,price,carriage,basis,note"}
	returned := table{name: "returned", columns: "date,until,count,serial,batch,revision,reason,found,cost,minutes,basis,note"}
	spent := table{name: "spent", columns: "date,until,kind,amount,basis,note"}
	if g.dated() {
		from, until := g.from.Format(day), g.until.Format(day)
		if g.sold != nil {
			sold.row = []string{from, until, count(*g.sold), "", "", g.Price(), "", remembered, ""}
		}
		if g.cameBack != nil {
			returned.row = []string{from, until, count(*g.cameBack), "", "", "", "", "", "", "", remembered, ""}
		}
		if g.spent != nil {
			spent.row = []string{from, until, "other", g.spent.String(), remembered, ""}
		}
	}
	return []table{
		{name: "made", columns: "date,until,count,serial,batch,revision,step,result,basis,note"},
		sold, returned, spent,
		{name: "hours", columns: "date,until,kind,time,count,step,basis,note"},
		{name: "readings", columns: "date,what,value,meter,serial,revision,ambient,charge_current,load_current,basis,note"},
	}
}

// remembered is the basis of everything that is answered from memory.
const remembered = "remembered"
