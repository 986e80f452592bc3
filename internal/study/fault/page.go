package fault

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

// A Bound is what a promise allows of a case in a state.
type Bound struct {
	Case, State string // State "" or "all": all of them
	Allowed     []End
}

// Page words the answer, with the promises' cases told first.
func (r *Result) Page(_ context.Context, bounds ...Bound) (page.Page, error) {
	p := page.Page{ID: "fault", Question: "What if it is wired wrongly?", Short: "Wired wrongly?",
		Lacks: r.Lacks, Inputs: r.inputs(), Warnings: r.Warnings, Cautions: r.Cautions, How: method}
	if len(r.Outcomes) == 0 {
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		return p, nil
	}
	p.Answer = r.answers(bounds)
	p.Figures = r.figures(bounds)
	p.Tables = r.tables(bounds)
	return p, nil
}

// answers begin with the mistakes at the terminals.
func (r *Result) answers(bounds []Bound) []string {
	list := []string{r.countSentence(Mistake, "wiring mistake", "wiring mistakes")}
	if said := r.worstSentence(Mistake); said != "" {
		list = append(list, said)
	}
	for _, b := range bounds {
		if o := r.Under(b.Case, b.State); o != nil {
			list = append(list, r.boundSentence(b, o))
		}
	}
	if len(r.ofFamily(Failure)) > 0 {
		list = append(list, r.countSentence(Failure, "failure of a part", "failures of single parts"), r.worstSentence(Failure))
	}
	list = append(list, r.pairSentence(), r.rescueSentence())
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// Under is the worst outcome of a case in a state, or in all of them where the state is "" or "all"; nil if there is none.
func (r *Result) Under(name, state string) *Outcome {
	if state == "" || state == "all" {
		return r.Worst(name)
	}
	return r.Of(name, state)
}

// ofFamily lists the cases of a family, in their order.
func (r *Result) ofFamily(family string) (out []*Case) {
	for i := range r.Cases {
		if r.Cases[i].Family == family && r.Worst(r.Cases[i].Name) != nil {
			out = append(out, &r.Cases[i])
		}
	}
	return out
}

// worstFirst lists the worst outcome of each case of a family, the worst first; of two alike the one with the smaller margin.
func (r *Result) worstFirst(family string) (out []*Outcome) {
	for _, c := range r.ofFamily(family) {
		out = append(out, r.Worst(c.Name))
	}
	slices.SortStableFunc(out, func(a, b *Outcome) int {
		switch {
		case a.worse(b):
			return -1
		case b.worse(a):
			return 1
		}
		return 0
	})
	return out
}

// countSentence: "Of 24 wiring mistakes, in their worst state, 9 leave it unharmed, 6 …".
func (r *Result) countSentence(family, one, many string) string {
	var count [Hazard + 1]int
	all := r.worstFirst(family)
	for _, o := range all {
		count[o.End]++
	}
	if len(all) == 0 {
		return ""
	}
	var said []string
	for e := Unharmed; e <= Hazard; e++ {
		if count[e] > 0 {
			said = append(said, fmt.Sprintf("%d %s", count[e], countWords(e, count[e])))
		}
	}
	if len(all) == 1 {
		return fmt.Sprintf("Of one %s, in its worst state, %s.", one, page.And(said))
	}
	return fmt.Sprintf("Of %d %s, each in its worst state, %s.", len(all), many, page.And(said))
}

func countWords(e End, n int) string {
	verb := func(one, many string) string {
		if n == 1 {
			return one
		}
		return many
	}
	switch e {
	case Unharmed:
		return verb("leaves", "leave") + " it unharmed"
	case Recovers:
		return verb("ends", "end") + " when " + verb("it is", "they are") + " put right"
	case PartLost:
		return verb("costs", "cost") + " a part"
	case Harmed:
		return verb("harms", "harm") + " battery or load"
	}
	return verb("is a hazard", "are a hazard")
}

// worstSentence tells the case that ends worst.
func (r *Result) worstSentence(family string) string {
	all := r.worstFirst(family)
	if len(all) == 0 || all[0].End < PartLost {
		return ""
	}
	o := all[0]
	return fmt.Sprintf("The worst: %s, %s. %s", o.Case.Name, o.State.Name, o.brief())
}

// brief is the end with the two weightiest harms, and how many more there are.
func (o *Outcome) brief() string {
	const most = 2
	if len(o.Harm) <= most+1 {
		return o.Text
	}
	var said []string
	for _, h := range o.Harm[:most] {
		said = append(said, h.Text)
	}
	return fmt.Sprintf("%s: %s, and %d things more.", page.Capital(o.End.String()), strings.Join(said, ", "), len(o.Harm)-most)
}

// opening begins a sentence with a case's name; a terminal's stays as it is written.
func opening(name string) string {
	for _, t := range hardware.Terminals {
		if strings.HasPrefix(name, t) {
			return name
		}
	}
	return page.Capital(name)
}

func (r *Result) boundSentence(b Bound, o *Outcome) string {
	said := fmt.Sprintf("%s, %s: %s", opening(o.Case.Name), o.State.Name, o.End)
	if m := o.Margin.words(); m != "" {
		said += ", " + m
	}
	far := o
	if b.State == "" || b.State == "all" {
		if f := r.furthest(b.Case); f != nil {
			far = f
		}
	}
	switch {
	case !slices.Contains(b.Allowed, o.End):
		said += "; promised is " + endList(b.Allowed)
	case !slices.Contains(b.Allowed, far.Reach):
		said += fmt.Sprintf("; %s of 100 units may end worse, %s: %s; promised is %s", ofHundred(far.share(o.End)), far.State.Name, far.Reach, endList(b.Allowed))
	default:
		said += ", as promised"
	}
	return said + "."
}

// rescueSentence names the change that mends most cases.
func (r *Result) rescueSentence() string {
	type sum struct {
		change string
		cases  []string
		worse  int
	}
	var all []sum
	for _, one := range r.Rescues {
		i := slices.IndexFunc(all, func(s sum) bool { return s.change == one.Change })
		if i < 0 {
			all, i = append(all, sum{change: one.Change, worse: len(one.Worse)}), len(all)
		}
		if !slices.Contains(all[i].cases, one.Case.Name) {
			all[i].cases = append(all[i].cases, one.Case.Name)
		}
	}
	best := -1
	for i := range all {
		if best < 0 || len(all[i].cases) > len(all[best].cases) {
			best = i
		}
	}
	if best < 0 {
		return ""
	}
	s := all[best]
	said := fmt.Sprintf("Of the single changes that were computed, %s mends most: %d %s better with it", s.change, len(s.cases), plural(len(s.cases), "case ends", "cases end"))
	if s.worse > 0 {
		said += fmt.Sprintf(", %d worse", s.worse)
	}
	return said + "."
}

// words: "margin 2.3 (1.7 to 3.1) at the junction of q1"; "" where there is none.
func (m Margin) words() string {
	if m.None() {
		return ""
	}
	said := "margin " + ratio(m.Ratio)
	if m.Low != 0 || m.High != 0 {
		said += fmt.Sprintf(" (%s to %s)", ratio(m.Low), ratio(m.High))
	}
	if m.Part != "" {
		said += ", " + m.Part + ": " + m.Of
	}
	return said
}

// ratio writes a margin; beyond a thousand nothing comes near.
func ratio(v float64) string {
	switch {
	case v >= 1000:
		return "over 1000"
	case v >= 100:
		return fmt.Sprintf("%.0f", v)
	case v >= 10:
		return fmt.Sprintf("%.1f", v)
	case v < 0.1:
		return fmt.Sprintf("%.1g", v)
	}
	return fmt.Sprintf("%.2f", v)
}

func endList(ends []End) string {
	var words []string
	for _, e := range ends {
		words = append(words, e.String())
	}
	return strings.Join(words, " or ")
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func (r *Result) inputs() (out []page.Input) {
	for _, t := range r.Taken {
		from := "default"
		if t.Key != "" {
			from = "default; " + t.Key + " would replace it"
		}
		out = append(out, page.Input{Name: t.Name, Text: t.Text, From: from, Note: t.Note})
	}
	return out
}
