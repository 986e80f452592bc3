package product

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// check looks at what the values of a product say of each other.
func (d *decoder) check(p *Product, broken map[string]bool) {
	for _, r := range d.names {
		d.known(r, p, broken)
	}
	d.currencies(p)
	d.circuit(p)
	d.circles(p)
	d.promises(p)
	d.shares(p)
}

// known reports a name that nothing in the folder bears.
func (d *decoder) known(r reference, p *Product, broken map[string]bool) {
	to, kind, _ := strings.Cut(r.to, " ")
	names, file := p.names(to)
	if broken[file] {
		return
	}
	if kind == "other" {
		names = append(names, kind)
	}
	if contains(names, r.node.Text) {
		if part := p.Parts.Get(r.node.Text); kind != "" && part != nil && part.Kind.Set() && part.Kind.Text != kind {
			d.faults.Add(r.node.Fault(r.key, "is a "+part.Kind.Text, "want a "+kind))
		}
		if run := p.Folder.Runs.Get(r.node.Text); to == "run" && kind != "" && run.Kind.Set() && run.Kind.Text != kind {
			d.faults.Add(r.node.Fault(r.key, "is a run of the kind "+run.Kind.Text, "want one of the kind "+kind))
		}
		return
	}
	want := "there is none in " + file
	if to == "place" {
		want = "want lead or outside"
	}
	if len(names) > 0 {
		want = "want " + listed(names)
	}
	if near := tree.Nearest(r.node.Text, names); near != "" {
		want = "did you mean " + near
	}
	d.faults.Add(r.node.Fault(r.key, "there is no such "+to, want))
}

// names returns what a reference may be to, and the file that holds it.
func (p *Product) names(to string) (names []string, file string) {
	switch to {
	case "part":
		return p.Parts.Names(), partsFile
	case "enclosure":
		return p.Enclosures.Names(), productFile
	case "place":
		return append(slices.Clone(p.Enclosures.Names()), "lead", "outside"), productFile
	case "meter":
		return p.Meters.Names(), metersFile
	case "step":
		return p.Production.Steps.Names(), productionFile
	case "channel":
		return p.Production.Channels.Names(), productionFile
	case "installation":
		return p.Installations.Names(), "installations"
	case "promise":
		return p.Promises.Names(), promisesFile
	case "variant":
		for _, v := range p.Folder.Variants {
			names = append(names, v.Name)
		}
		return names, "variants"
	case "run":
		return p.Folder.Runs.Names(), "bench"
	case "revision":
		for _, r := range p.Folder.Revisions() {
			names = append(names, r.Name)
		}
		return names, "variants"
	}
	panic("schema: nothing is called " + to)
}

// currencies reports sums in a currency that the folder has no rate for.
func (d *decoder) currencies(p *Product) {
	if len(d.money) == 0 || !p.Currency.Set() || !currency(p.Currency.Text) {
		return
	}
	for _, m := range d.money {
		if m.currency != p.Currency.Text && p.Production.Rates.Get(m.currency) == nil {
			d.faults.Add(m.node.Fault(m.key, "has no rate into "+p.Currency.Text,
				fmt.Sprintf("want [rates] %s = \"… %s\" in %s", m.currency, p.Currency.Text, productionFile)))
		}
	}
}

// circuit reports parts that are connected by terminals which they do not have.
func (d *decoder) circuit(p *Product) {
	for _, c := range p.Circuit.All() {
		part := p.Parts.Get(c.Part.Text)
		if part == nil || !part.Kind.Set() {
			continue
		}
		wrong, want := []Text{c.Drain, c.Source, c.Gate}, "from and to"
		if part.Kind.Is("mosfet") {
			wrong, want = []Text{c.From, c.To}, "drain, source and gate"
		}
		for _, w := range wrong {
			if w.Set() {
				d.faults.Add(w.Fault("a "+part.Kind.Text+" has no such terminal", "want "+want))
			}
		}
	}
}

// circles reports enclosures that hold themselves and steps that wait for themselves.
func (d *decoder) circles(p *Product) {
	inside, leaves := map[string][]string{}, map[string]Leaf{}
	for name, e := range p.Enclosures.All() {
		if e.Inside.Set() {
			inside[name] = []string{e.Inside.Text}
		}
		leaves[name] = e.Inside.Leaf
	}
	d.circle(inside, leaves, "an enclosure is inside itself", "want an outermost one")
	after, leaves := map[string][]string{}, map[string]Leaf{}
	for name, s := range p.Production.Steps.All() {
		for _, a := range s.After.Items {
			after[name] = append(after[name], a.Text)
		}
		leaves[name] = s.After.Leaf
	}
	d.circle(after, leaves, "a step waits for itself", "want a first one")
}

func (d *decoder) circle(next map[string][]string, leaves map[string]Leaf, problem, want string) {
	if path := circleIn(next); path != nil {
		d.faults.Add(leaves[path[0]].Fault(problem+": "+strings.Join(path, " → "), want))
	}
}

// circleIn returns names of which each leads to the next and the last is the first
// again; nil if there are none. The same circle is found every time.
func circleIn(next map[string][]string) []string {
	const (
		open = 1
		done = 2
	)
	state := map[string]int{}
	var trail []string
	var walk func(string) []string
	walk = func(name string) []string {
		state[name] = open
		trail = append(trail, name)
		for _, to := range next[name] {
			if state[to] == open {
				start := slices.Index(trail, to)
				return append(slices.Clone(trail[start:]), to)
			}
			if state[to] == 0 {
				if found := walk(to); found != nil {
					return found
				}
			}
		}
		trail = trail[:len(trail)-1]
		state[name] = done
		return nil
	}
	for _, name := range slices.Sorted(maps.Keys(next)) {
		if state[name] == 0 {
			if found := walk(name); found != nil {
				return found
			}
		}
	}
	return nil
}

// promises reports bounds that contradict each other.
func (d *decoder) promises(p *Product) {
	for _, one := range p.Promises.All() {
		low, high := one.Min, one.Max
		unread := quantity.Quantity{} // what stands for a value that is wrong
		both := low.Set() && high.Set() && low.Quantity != unread && high.Quantity != unread
		switch {
		case one.Within.Set() && (low.Set() || high.Set()):
			d.faults.Add(one.Within.Fault("stands beside min or max", "want either within, or min and max"))
		case one.Ends.Set() && (one.Within.Set() || low.Set() || high.Set()):
			d.faults.Add(one.Ends.Fault("stands beside a bound in numbers", "want one or the other"))
		case both && low.Dim != high.Dim:
			d.faults.Add(high.Fault("is not of the same kind as min", "want "+article(low.Dim.Name())))
		case both && low.Value > high.Value:
			d.faults.Add(high.Fault("is below min", "want at least "+low.Text))
		}
	}
}

// shares reports channels that sell more than everything.
func (d *decoder) shares(p *Product) {
	sum := 0.0
	var last Quantity
	for _, c := range p.Production.Channels.All() {
		if c.Share.Set() {
			sum += c.Share.Low
			last = c.Share
		}
	}
	const rounding = 1e-9
	if sum > 1+rounding {
		d.faults.Add(last.Fault(fmt.Sprintf("the shares of all channels add up to %.4g %%", 100*sum), "want at most 100 %"))
	}
}
