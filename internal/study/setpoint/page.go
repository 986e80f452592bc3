package setpoint

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/page"
)

// A Bound is what a promise allows for a quantity, V; nil is open. Text names the promise.
type Bound struct {
	Quantity string
	Min, Max *float64
	Text     string
}

// How the page judges where no promise says otherwise.
const (
	usualProportion = 0.95
	usualConfidence = 0.95
)

// Page words the answer, with the bounds of promises drawn in.
func (r *Result) Page(ctx context.Context, bounds ...Bound) (page.Page, error) {
	p := page.Page{ID: "setpoint", Question: "Does it stop at the right voltage?", Short: "Right voltage?",
		Lacks: r.Lacks(), Inputs: r.inputs(), How: method}
	if len(r.Outcomes) == 0 {
		p.Cautions = r.Cautions
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		return p, nil
	}
	p.Cautions = append(r.stuckNotes(), r.Cautions...)
	var err error
	if p.Answer, err = r.answers(bounds); err != nil {
		return page.Page{}, err
	}
	p.Warnings = r.warnings(bounds)
	if p.Figures, err = r.figures(ctx, bounds); err != nil {
		return page.Page{}, err
	}
	p.Tables, err = r.tables(ctx, bounds)
	return p, err
}

// answers are those of all quantities, what never happens first.
func (r *Result) answers(bounds []Bound) ([]string, error) {
	var first, list []string
	for _, o := range r.Outcomes {
		if o.Never != "" {
			first = append(first, o.neverAnswer(bounds))
			continue
		}
		said, err := o.answer(bounds)
		if err != nil {
			return nil, err
		}
		list = append(list, said)
	}
	return append(first, list...), nil
}

// answer is one quantity in a sentence or two.
func (o *Outcome) answer(bounds []Bound) (string, error) {
	t, err := o.Tolerance(usualProportion, usualConfidence)
	if err != nil {
		return "", err
	}
	digits := decimals((t.High - t.Low) / 2)
	name, _ := o.aim.words(o.input)
	span := signed(t.Low, digits) + " V to " + signed(t.High, digits) + " V"
	var text string
	switch {
	case o.aim.display():
		text = fmt.Sprintf("%s is off the true one by %s", page.Capital(name), span)
	case o.aim.deviation:
		level := o.samples.c.setting[o.aim.level]
		target := volts(level, shortest(level))
		if levelTable[o.aim.level].charging && o.samples.c.slope != 0 {
			target += " at 25 °C"
		}
		text = fmt.Sprintf("At %s the battery gets its target, %s, to within %s", name, target, span)
	default:
		text = fmt.Sprintf("At %s the battery gets %s to %s", name, number(t.Low, digits), volts(t.High, digits))
	}
	text += fmt.Sprintf(", in 95 of 100 units %s", o.input.conditionWords())
	if lines := o.Linear.Lines; len(lines) > 0 {
		text += fmt.Sprintf("; %s of the spread is the %s", percent(lines[0].Share), lines[0].Name)
	}
	text += "."
	for _, b := range bounds {
		if b.Quantity != o.Quantity {
			continue
		}
		low, high := b.ends()
		inside, err := o.Inside(low, high, usualConfidence)
		if err != nil {
			return "", err
		}
		text += fmt.Sprintf(" %s of units stay within %s%s.", page.Capital(percent(inside.Best)), boundWords(b), limitWords(inside))
	}
	return text, nil
}

// limitWords say the limits of a share, if they differ from it.
func limitWords(i Interval) string {
	low, best, high := percent(i.Low), percent(i.Best), percent(i.High)
	if low == best && (high == best || i.Low > 0.999) {
		return ""
	}
	return " (from " + low + " to " + high + ", for what is not known)"
}

// warnings are doubts about the answer, with what would mend them.
func (r *Result) warnings(bounds []Bound) []page.Note {
	var list []page.Note
	t := r.Input.Trim
	for _, o := range r.Outcomes {
		name, _ := o.aim.words(&r.Input)
		for _, b := range bounds {
			if b.Quantity != o.Quantity || t == nil || b.Min == nil || b.Max == nil || o.Never != "" {
				continue
			}
			half, at := (*b.Max-*b.Min)/2, t.At[0].Quantity.Value
			if limit := limitOf(&t.Instrument, at); limit > half/4 {
				list = append(list, page.Note{From: t.Instrument.From,
					Text: fmt.Sprintf("The trim's meter, ±%s at %s, is more than a quarter of the ±%s that is allowed for %s.",
						volts(limit, decimals(limit)), volts(at, shortest(at)), volts(half, shortest(half)), name),
					Remedy: fmt.Sprintf("trim by a meter of ±%s or better", volts(half/4, shortest(half/4)))})
			}
		}
	}
	if slices.ContainsFunc(r.chain.draws[:], func(d draw) bool { return d.shape == normal }) {
		list = append(list, page.Note{Text: "An input is given by a standard deviation: the worst case counts ±3 of them, and a rare unit lies beyond it.",
			Remedy: "give limits if the worst case matters", From: "[S15]"})
	}
	return list
}

// inputs lists all values that are given.
func (r *Result) inputs() []page.Input {
	in := &r.Input
	var list []page.Input
	add := func(name, text, where, note string) {
		if where == "" {
			where = "default"
		}
		list = append(list, page.Input{Name: name, Text: text, From: where, Note: note})
	}
	for _, c := range []struct {
		name string
		Choice
	}{{"regulation.method", in.Method}, {"sense.sampled", in.Sampled}, {"sense.sensor", in.Sensor}} {
		if c.Text != "" {
			add(c.name, c.Text, c.From, "")
		}
	}
	for _, c := range in.checks() {
		if c.value != nil && (c.value != in.Ageing || in.Conditions.Aged) {
			add(c.key, c.value.Quantity.String(), c.value.From, "")
		}
	}
	if in.Bits.N > 0 {
		note := ""
		if r.chain != nil {
			note = "one step is " + volts(r.chain.stepVolts(), decimals(r.chain.stepVolts())) + " at the battery"
		}
		add("sense.bits", fmt.Sprint(in.Bits.N), in.Bits.From, note)
	}
	if t := in.Trim; t != nil {
		i, at := &t.Instrument, t.At[0].Quantity.Value
		add("sense.trimmed.by", strings.TrimSpace(i.Name+" "+i.Accuracy.String()), i.From,
			"±"+volts(limitOf(i, at), decimals(limitOf(i, at)))+", the same for all units")
	}
	if len(in.Unknown.Names) > 0 {
		add("sense.unknown", strings.Join(in.Unknown.Names, ", "), in.Unknown.From, "the same, unknown, for all units")
	}
	return list
}

// furthest returns, for some of the units, their value furthest from the middle of a bound, or from 0.
func (o *Outcome) furthest(b *Bound, most int) []float64 {
	middle := 0.0
	if !o.aim.deviation {
		middle = (o.Nominal.Low + o.Nominal.High) / 2
	}
	if b != nil && b.Min != nil && b.Max != nil {
		middle = (*b.Min + *b.Max) / 2
	}
	c := o.codes
	stride := max(1, len(c.lows)/most)
	var list []float64
	for i := 0; i < len(c.lows); i += stride {
		if c.stick && c.highs[i] == lastCode {
			continue
		}
		low, high := c.value(float64(c.lows[i])), c.value(float64(c.highs[i]))
		if math.Abs(low-middle) > math.Abs(high-middle) {
			list = append(list, low)
		} else {
			list = append(list, high)
		}
	}
	return list
}
