package starter

import (
	"bytes"
	"embed"
	"encoding/csv"
	"strings"
	"text/tabwriter"
	"text/template"

	"hindwatt/internal/product"
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
	return append(files, g.records()...), nil
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

// records makes the files of records, each with its head and a row for what was answered.
func (g given) records() []file {
	rows := g.rows()
	var files []file
	for _, kind := range product.RecordKinds() {
		columns, _ := product.Columns(kind)
		lines := [][]string{columns}
		if row, ok := rows[kind]; ok {
			cells := make([]string, len(columns))
			for i, column := range columns {
				cells[i] = row[column]
			}
			lines = append(lines, cells)
		}
		var text bytes.Buffer
		if err := csv.NewWriter(&text).WriteAll(lines); err != nil {
			panic("starter: " + err.Error()) // a buffer takes everything
		}
		if kind == "returned" && g.cameBack == nil {
			continue // an empty file would say that none came back
		}
		name := kind
		if kind == "reading" {
			name = "readings"
		}
		files = append(files, file{"records/" + name + ".csv", text.Bytes()})
	}
	return files
}

// rows are the rows for what was answered, by kind and column: one for the whole time of the sales.
func (g given) rows() map[string]map[string]string {
	rows := map[string]map[string]string{}
	add := func(kind string, answered *quantity.Quantity, cells map[string]string) {
		if answered != nil && g.dated() {
			cells["date"], cells["until"] = g.from.Format(day), g.until.Format(day)
			if kind == "returned" {
				cells["until"] = g.today.Format(day) // what came back is known up to the day of the answer
			}
			cells["basis"] = "remembered"
			rows[kind] = cells
		}
	}
	add("sold", g.sold, map[string]string{"count": count(g.sold), "price": g.Price()})
	add("returned", g.cameBack, map[string]string{"count": count(g.cameBack)})
	add("spent", g.spent, map[string]string{"kind": "other", "amount": text(g.spent)})
	return rows
}
