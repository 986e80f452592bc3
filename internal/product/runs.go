package product

import (
	"fmt"
	"path"
	"reflect"
)

// runs reads bench/NAME.toml. The logs themselves are read when somebody asks: see Folder.Log.
func (r *folderReader) runs() {
	all := &r.folder.Runs
	all.mark(nil, "bench", "")
	all.items = map[string]*Run{}
	for _, file := range r.list("bench", ".toml") {
		if file == metersFile {
			continue
		}
		d := &decoder{faults: r.faults, today: r.folder.today}
		one, name := new(Run), r.name(file, ".toml")
		d.table(r.tree(file), reflect.ValueOf(one).Elem(), place{file: file})
		d.run(one)
		r.pending = append(r.pending, d.names...)
		all.names, all.items[name] = append(all.names, name), one
	}
}

// run looks at what the values of a run say of each other.
func (d *decoder) run(run *Run) {
	columns := map[string]string{}
	for name, c := range run.Columns.All() {
		if !c.Is.Set() && c.Set() {
			d.faults.Add(c.Fault("does not say what it is", `want is = "battery voltage", "charge current", "time" or another of docs/folder.md`))
		}
		if c.Header.Set() && c.Number.Set() {
			d.faults.Add(c.Number.Fault("stands beside header", "want either the column's header or its number"))
		}
		of := c.In(name)
		if first, taken := columns[of]; taken {
			d.faults.Add(c.Fault("is the same column as "+first, "want one table a column"))
		}
		columns[of] = name
	}
	for _, s := range run.Spans.All() {
		switch {
		case s.From.Set() && s.Until.Set() && s.From.Value >= s.Until.Value:
			d.faults.Add(s.Until.Fault("is no later than from", "want more than "+s.From.Text))
		case s.Set() && !s.From.Set() && !s.Until.Set():
			d.faults.Add(s.Fault("has no ends", `want from = "10 min", until = "40 min" or both, since the log's first row`))
		}
	}
	for _, h := range run.Hand.All() {
		dim, known := measures[h.Is.Text]
		switch {
		case !h.Set():
		case !h.Is.Set():
			d.faults.Add(h.Fault("does not say what it is", `want is = "battery voltage" or another of docs/folder.md`))
		case !h.Value.Set():
			d.faults.Add(h.Fault("has no value", "want value = \""+dim.Example()+"\""))
		case known && h.Value.Dim != dim:
			d.faults.Add(h.Value.Fault("is a "+h.Value.Dim.Name(), "want a "+dim.Name()+" such as "+dim.Example()))
		}
	}
	if run.Log.Set() && path.Base(run.Log.Text) != run.Log.Text {
		d.faults.Add(run.Log.Fault("is no file in bench/", "want its name without a folder"))
	}
}

// In says which column of the log is meant: "#2" by its number, else by its header, which is the
// table's name if none is written.
func (c *LogColumn) In(name string) string {
	switch {
	case c.Number.Set():
		return fmt.Sprintf("#%d", c.Number.N)
	case c.Header.Set():
		return c.Header.Text
	}
	return name
}

// LogFile is the path of a run's log from the folder: bench/NAME.csv, or the file that it names.
func (run *Run) LogFile(name string) string {
	if run.Log.Set() && run.Log.Text != "" {
		return path.Join("bench", run.Log.Text)
	}
	return path.Join("bench", name+".csv")
}
