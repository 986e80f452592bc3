package starter

import (
	"bytes"
	"fmt"
	"strings"

	"hindwatt/internal/quantity"
)

// Report says what Write wrote and what can't be answered yet.
type Report struct {
	Dir     string
	Files   []string // slash-separated, in Dir
	Typical int      // values that stand in the files for want of the maker's own
	Notes   []string // where an answer was taken otherwise than it was typed
	Lacks   []Lack
}

// Lack is a question that waits for a value.
type Lack struct {
	Question  string // as the pages are headed
	File, Key string // where the value belongs; in a CSV file the columns
	Example   string
}

// The questions that pages are headed with.
const (
	voltageQuestion = "Does it stop at the right voltage?"
	currentQuestion = "How much current can it carry?"
	wiringQuestion  = "What if it is wired wrongly?"
	benchQuestion   = "What did the bench say?"
	costQuestion    = "What does one cost to make?"
	payQuestion     = "Did it pay?"
	returnQuestion  = "How often does it come back?"
)

func report(dir string, g given, files []file) Report {
	r := Report{Dir: dir, Notes: g.notes(), Lacks: g.lacks()}
	for _, f := range files {
		r.Files = append(r.Files, f.path)
		if strings.HasSuffix(f.path, ".toml") {
			r.Typical += bytes.Count(f.text, []byte("# typical"))
		}
	}
	return r
}

// lacks lists what the answers leave open, by question.
func (g given) lacks() []Lack {
	var all []Lack
	need := func(missing bool, question, file, key, example string) {
		if missing {
			all = append(all, Lack{question, file, key, example})
		}
	}
	example := g.Money()
	need(g.price == nil, payQuestion, "production.toml", "work.price", "34 "+example)
	sold, soldExample := g.soldLacks()
	need(sold != "", payQuestion, "records/sold.csv", sold, soldExample)
	need(g.spent == nil, payQuestion, "records/spent.csv", "date, kind, amount", "2021-05-31, tools, 120 "+example)
	need(g.parts == nil, costQuestion, "production.toml", "bom.parts.prices", "1:9.80 "+example)
	need(g.minutes == nil, costQuestion, "production.toml", "step.make.minutes", "30..45 min")
	need(sold != "", returnQuestion, "records/sold.csv", sold, soldExample)
	need(g.cameBack == nil || !g.dated(), returnQuestion, "records/returned.csv", "date, until, count", "2021-01-01, 2023-12-31, 5..10")
	need(g.circuit == "", currentQuestion, productFile, "circuit", "one of docs/folder.md, Ready circuits")
	need(g.circuit == "", wiringQuestion, productFile, "circuit", "one of docs/folder.md, Ready circuits")
	need(true, benchQuestion, "records/readings.csv", "date, what, value, meter", "2024-05-31, setpoint.float, "+plain(13.68*g.Volts()/12, quantity.Voltage)+", bench")
	return all
}

// dated tells whether the period of the sales is known, which all periods of the records are taken from.
func (g given) dated() bool { return !g.from.IsZero() && !g.until.IsZero() }

// soldLacks lists the columns of sold.csv that no answer fills, and what could stand there.
func (g given) soldLacks() (columns, example string) {
	var names, values []string
	for _, c := range []struct {
		missing     bool
		name, value string
	}{{g.from.IsZero(), "date", "2021-01-01"}, {g.until.IsZero(), "until", "2023-12-31"}, {g.sold == nil, "count", "300"}} {
		if c.missing {
			names, values = append(names, c.name), append(values, c.value)
		}
	}
	return strings.Join(names, ", "), strings.Join(values, ", ")
}

// notes say where an answer was taken otherwise than it was typed.
func (g given) notes() []string {
	var notes []string
	if g.untilNow {
		notes = append(notes, "sold until: taken up to today, "+g.until.Format(day))
	}
	if g.voltage != nil && g.voltage.Low != g.voltage.High {
		notes = append(notes, fmt.Sprintf("voltage: %s stands in the folder, of %s; a folder holds one, so start another for the other", g.Voltage(), g.voltage))
	}
	if g.voltage == nil {
		notes = append(notes, "voltage: "+g.Voltage()+" taken as typical")
	}
	if g.current != nil && g.current.Low != g.current.High {
		notes = append(notes, fmt.Sprintf("current: %s stands in the folder, the upper end of %s", g.Current(), g.current))
	}
	if g.current == nil {
		notes = append(notes, "current: "+g.Current()+" taken as typical")
	}
	if kept := g.kept(); len(kept) > 0 {
		notes = append(notes, "kept in README.md until their dates are known: "+strings.Join(kept, "; "))
	}
	return notes
}

// kept are answers that have no row in the records, because a row needs dates.
func (g given) kept() []string {
	var kept []string
	if g.sold != nil && !g.dated() {
		kept = append(kept, count(g.sold)+" sold")
	}
	if g.cameBack != nil && !g.dated() {
		kept = append(kept, count(g.cameBack)+" came back")
	}
	if g.spent != nil && !g.dated() {
		kept = append(kept, g.spent.String()+" spent otherwise")
	}
	switch {
	case g.dated() || g.from.IsZero() && g.until.IsZero():
	case g.until.IsZero():
		kept = append(kept, "sold from "+g.from.Format(day))
	default:
		kept = append(kept, "sold until "+g.until.Format(day))
	}
	return kept
}

// String lists it for reading, one line an item, each line ended.
func (r Report) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "wrote %s:\n", r.Dir)
	for _, f := range r.Files {
		fmt.Fprintf(&b, "  %s\n", f)
	}
	fmt.Fprintf(&b, "%d values are typical ones, each marked so in its line: put your own in their place\n", r.Typical)
	for _, n := range r.Notes {
		fmt.Fprintf(&b, "%s\n", n)
	}
	last := ""
	for _, l := range r.Lacks {
		if l.Question != last {
			fmt.Fprintf(&b, "%s Not yet: it needs\n", l.Question)
			last = l.Question
		}
		fmt.Fprintf(&b, "  %s: %s (such as %s)\n", l.File, l.Key, l.Example)
	}
	return b.String()
}
