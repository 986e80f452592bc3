package fault

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/page"
)

// tables are the leaflet, the stages of what ends badly, what would save it, and the order of part failures.
func (r *Result) tables(bounds []Bound) []page.Table {
	list := []page.Table{r.leaflet(), r.stageTable(bounds), r.rescueTable(), r.orderTable(), r.shownTable()}
	var out []page.Table
	for _, t := range list {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// leaflet is what may be printed: what must not happen, what the calculation leaves open, and what it withstands. What does not end well
// is a warning and never left out.
func (r *Result) leaflet() page.Table {
	t := page.Table{Title: "For the leaflet: what it withstands and what it does not", Head: []string{"", "mistake, in whatever state", "what happens"},
		Note: "Calculated, not tried. A mistake that is unproven is printed as a warning too."}
	var again [][]string
	var withstands []string
	for _, o := range r.worstFirst(Mistake) {
		far := r.furthest(o.Case.Name)
		said := o.Text
		if far != nil {
			said += " " + far.mayEnd(o.End)
		}
		switch {
		case o.End >= PartLost:
			t.Rows = append(t.Rows, []string{"Warning", o.Case.Name, said})
		case far != nil && far.Reach >= PartLost:
			t.Rows = append(t.Rows, []string{"Warning, unproven", o.Case.Name, said})
		case o.End == Recovers || far != nil:
			again = append(again, []string{"Works again", o.Case.Name, said})
		default:
			withstands = append(withstands, o.Case.Name)
		}
	}
	t.Rows = append(t.Rows, again...)
	if len(withstands) > 0 {
		t.Rows = append(t.Rows, []string{"Withstands", plural(len(withstands), "one mistake", fmt.Sprintf("%d mistakes", len(withstands))), opening(strings.Join(withstands, "; ")) + ": nothing gives way."})
	}
	return t
}

// mayEnd says how many of the units end worse than an end, and how badly.
func (o *Outcome) mayEnd(than End) string {
	return fmt.Sprintf("Some units may end worse, %s: %s (%s of 100).", o.State.Name, o.Reach, ofHundred(o.share(than)))
}

// ofHundred writes a share as so many of a hundred.
func ofHundred(share float64) string {
	if share < 0.01 {
		return "fewer than 1"
	}
	return fmt.Sprintf("%.0f", 100*share)
}

// stageTable tells what follows what, of the promised cases and of all mistakes that end badly, each in its worst state.
func (r *Result) stageTable(bounds []Bound) page.Table {
	t := page.Table{Title: "What follows what", Head: []string{"mistake", "stage", "what happens"}, Align: "lrl",
		Note: "Each in the state in which it ends worst. The last stage of each lasts until it is put right."}
	told := map[*Outcome]bool{}
	add := func(o *Outcome) {
		if o == nil || told[o] {
			return
		}
		told[o] = true
		for i := range o.Stages {
			name := ""
			if i == 0 {
				name = o.Case.Name + ", " + o.State.Name
			}
			t.Rows = append(t.Rows, []string{name, fmt.Sprint(i + 1), o.Stages[i].Text})
		}
		end := []string{"", "end", o.Text}
		if m := o.Margin.words(); m != "" {
			end[2] += " " + page.Capital(m) + "."
		}
		t.Rows = append(t.Rows, end)
	}
	for _, b := range bounds {
		add(r.Under(b.Case, b.State))
	}
	for _, o := range r.worstFirst(Mistake) {
		if o.End >= PartLost {
			add(o)
		}
	}
	return t
}

// unsaved names the cases that end badly and that no change of the short list makes end better.
func (r *Result) unsaved() (names []string) {
	for i := range r.Cases {
		c := &r.Cases[i]
		saved := slices.ContainsFunc(r.Rescues, func(s Rescue) bool { return s.Case == c })
		if o := r.Worst(c.Name); o != nil && o.End >= PartLost && !saved {
			names = append(names, c.Name)
		}
	}
	return names
}

func (r *Result) rescueTable() page.Table {
	t := page.Table{Title: "What would save it", Head: []string{"case", "now", "change", "then", "costs", "loss", "also better", "worse with it"}, Align: "llllrrll",
		Note: "Each computed on the whole circuit with nominal parts, in all states; nothing stands here that was not. Loss: more heat at the rated current, charging or feeding the load, whichever is more. Costs: of the part alone; not priced where production.toml has no price of it. A change by usual values of such a part, since the folder has none, is an estimate."}
	if lost := r.unsaved(); len(lost) > 0 && !r.Input.NoRescues {
		t.Note += " Nothing of the short list (a fuse at the battery, a diode in either lead of the panel, a clamp, a second switch, a larger rating) ends better: " + strings.Join(lost, "; ") + "."
		if len(r.Rescues) == 0 {
			t.Rows = append(t.Rows, []string{"all of them", "", "nothing of the short list", "", "", "", "", ""})
		}
	}
	for i := range r.Rescues {
		c := &r.Rescues[i]
		name, cost := c.Case.Name, "not priced"
		if i > 0 && r.Rescues[i-1].Case == c.Case {
			name = ""
		}
		if c.Cost != nil {
			cost = fmt.Sprintf("%.2f %s", c.Cost.Float64(), c.Cost.Currency())
		}
		change := c.Change
		if c.Typical {
			change += " (usual values)"
		}
		t.Rows = append(t.Rows, []string{name, c.Worst.String(), change, c.Then.String(), cost, fmt.Sprintf("%.2f W", c.Loss), few(c.Also), few(c.Worse)})
	}
	return t
}

// back: "3 (1 of this revision)" units that came back for this failure, "4 for j2 (0 of this revision)" where only the part is named.
func (k *Rank) back() string {
	said := digits(k.Returned)
	switch {
	case k.Returned == 0:
		return ""
	case !k.Named:
		said += " for " + k.Case.Parts[0]
	}
	if k.Own == k.Returned {
		return said
	}
	return said + " (" + digits(k.Own) + " of this revision)"
}

// few names at most three.
func few(names []string) string {
	const most = 3
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
}

func (r *Result) orderTable() page.Table {
	t := page.Table{Title: "Part failures, the worst and the most frequent first", Head: []string{"failure", "ends as", "in which state", "share of such a part's failures", "came back"}, Align: "lllrl",
		Note: "An order (severity first, IEC 60812), never a rate: published shares of failure modes tell nothing of how often this part fails here. Shares: " + sharesFrom + "."}
	if len(r.Input.Returned) > 0 {
		t.Note += " Came back: units of returned.csv with a fault whose reason names the failure or its part; they stand beside the order and do not change it."
	}
	for _, k := range r.Order {
		if k.Severity == Unharmed {
			continue
		}
		share := "not published"
		if k.Share > 0 {
			share = fmt.Sprintf("%.0f %%", 100*k.Share)
		}
		state := ""
		if k.State != nil {
			state = k.State.Name
		}
		t.Rows = append(t.Rows, []string{k.Case.Name, k.Severity.String(), state, share, k.back()})
	}
	return t
}
