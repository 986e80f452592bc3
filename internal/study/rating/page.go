package rating

import (
	"context"
	"fmt"

	"hindwatt/internal/page"
)

const (
	usualProportion = 0.95
	usualConfidence = 0.95
)

// Page words the answer, with the bounds of promises drawn in.
func (r *Result) Page(ctx context.Context, bounds ...Bound) (page.Page, error) {
	p := page.Page{ID: "rating", Question: "How much current can it carry?", Short: "How much current?",
		Lacks: r.Lacks(), Inputs: r.inputs(), Warnings: r.Warnings, How: method}
	if len(r.Outcomes) == 0 {
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		if len(r.Input.Design.Components) > 0 {
			p.Figures = append(p.Figures, r.circuit())
		}
		return p, nil
	}
	curve, err := r.Derate(ctx)
	if err != nil {
		return p, err
	}
	others, err := r.Instead(ctx)
	if err != nil {
		return p, err
	}
	if p.Answer, err = r.answers(bounds, others); err != nil {
		return p, err
	}
	if p.Figures, err = r.figures(curve, bounds); err != nil {
		return p, err
	}
	p.Tables, err = r.tables(curve, others)
	return p, err
}

// answers begin with the current.
func (r *Result) answers(bounds []Bound, others []Other) ([]string, error) {
	var list []string
	if o := r.Outcome("current"); o != nil {
		said, err := r.currentAnswer(o, bounds)
		if err != nil {
			return nil, err
		}
		list = append(list, said)
		list = append(list, r.runawayAnswer())
	}
	for _, answer := range []func([]Bound) (string, error){r.touchAnswer, r.dropAnswer, r.standbyAnswer} {
		said, err := answer(bounds)
		if err != nil {
			return nil, err
		}
		list = append(list, said)
	}
	list = append(list, insteadAnswer(others))
	var out []string
	for _, s := range list {
		if s != "" {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		out = []string{"How much it carries cannot be said yet: the folder lacks what is listed below."}
	}
	return out, nil
}

// shares word how many units keep each bound of a quantity.
func (o *Outcome) shares(bounds []Bound) (string, error) {
	text := ""
	for _, b := range bounds {
		if b.Quantity != o.Quantity {
			continue
		}
		low, high := b.ends()
		inside, err := o.Inside(low, high, usualConfidence)
		if err != nil {
			return "", err
		}
		text += fmt.Sprintf(" %s of units keep what is promised, %s.", page.Capital(shareWords(inside)), o.boundWords(b))
	}
	return text, nil
}

func (r *Result) currentAnswer(o *Outcome, bounds []Bound) (string, error) {
	if o.Never != "" {
		return "How much it carries cannot be said: " + o.Never + ".", nil
	}
	if o.Nominal == 0 {
		return fmt.Sprintf("%s it carries nothing: %s.", page.Capital(r.Input.conditionWords()), nothingWords(o.Part, o.Of)), nil
	}
	t, err := o.Tolerance(usualProportion, usualConfidence)
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("%s it carries %s continuously (%.1f to %s in 95 of 100 units); %s stops it, %s.", page.Capital(r.Input.conditionWords()),
		amperes(o.Nominal), t.Low, amperes(t.High), stopWords(o.Part, o.Of), dutyWords(o.Duty))
	text += " " + r.regulationWords(o)
	panels := Panels(o.Nominal)
	text += fmt.Sprintf(" That is enough for panels of %s short-circuit current in all.", amperes(panels[0].ShortCircuit))
	shares, err := o.shares(bounds)
	return text + shares, err
}

// regulationWords say which is worse, full conduction or regulation.
func (r *Result) regulationWords(o *Outcome) string {
	switch {
	case len(r.Duties) < 2:
		return "It regulates by on and off, so full conduction is its hardest work."
	case o.Duty == conducting:
		return "Regulating is easier on it than conducting fully."
	}
	return fmt.Sprintf("Conducting fully it would carry %s.", amperes(r.Duties[0].Current))
}

func (r *Result) runawayAnswer() string {
	switch {
	case r.place.current == 0 || r.probe == nil:
		return ""
	case r.Runaway.Part == "":
		return fmt.Sprintf("No part runs away at %s up to an ambient of %s.", amperes(r.place.current), celsius(mostAir))
	case r.Runaway.Ambient <= leastAir+tie: // the floor of the search
		return fmt.Sprintf("At %s, %s, %s runs away at every ambient that was looked at, from %s up: its loss grows faster than its cooling.",
			amperes(r.place.current), dutyWords(r.Runaway.Duty), r.Runaway.Part, celsius(leastAir))
	}
	return fmt.Sprintf("At %s, %s, %s runs away from an ambient of %s on: its loss then grows faster than its cooling.",
		amperes(r.place.current), dutyWords(r.Runaway.Duty), r.Runaway.Part, celsius(r.Runaway.Ambient))
}

func (r *Result) touchAnswer(bounds []Bound) (string, error) {
	o := r.Outcome("touch-temperature")
	if o == nil {
		return "", nil
	}
	if o.Never != "" {
		return "How hot the case gets cannot be said: " + o.Never + ".", nil
	}
	t, err := o.Tolerance(usualProportion, usualConfidence)
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("At %s its outside reaches %s (%s).", amperes(o.At.current), celsius(o.Nominal), o.span(t, 0))
	shares, err := o.shares(bounds)
	return text + shares, err
}

func (r *Result) dropAnswer(bounds []Bound) (string, error) {
	o, loss := r.Outcome("drop"), r.Outcome("loss")
	if o == nil || o.Never != "" {
		return "", nil
	}
	text := fmt.Sprintf("At %s it drops %s between panel and battery", amperes(o.At.current), volts(o.Nominal))
	if loss != nil && loss.Never == "" {
		text += " and makes " + watts(loss.Nominal) + " of heat"
	}
	shares, err := o.shares(bounds)
	return text + "." + shares, err
}

func (r *Result) standbyAnswer(bounds []Bound) (string, error) {
	o := r.Outcome("standby")
	if o == nil || o.Never != "" {
		return "", nil
	}
	text := fmt.Sprintf("At night it takes %s", o.text(o.Nominal, 1))
	if o.Stated {
		text += " as " + o.From + " states it"
		if o.Summed > 0 {
			text += "; its parts add up to " + o.text(o.Summed, 1)
		}
	} else {
		text += ", as its parts add up"
	}
	shares, err := o.shares(bounds)
	return text + "." + shares, err
}

// gains is the least gain that is worth a word, A.
const gains = 0.05

// insteadAnswer names the change that buys most, of those that were computed.
func insteadAnswer(others []Other) string {
	var real, ideal *Other
	for i := range others {
		o := &others[i]
		if o.Refused != "" || o.More < gains {
			continue
		}
		if o.Group == "made up" {
			if ideal == nil {
				ideal = o
			}
		} else if real == nil {
			real = o
		}
	}
	say := func(o *Other) string {
		return fmt.Sprintf("%s: %s more, %s then stops it", o.Name, amperes(o.More), stopWords(o.Part, o.Of))
	}
	switch {
	case len(others) == 0:
		return ""
	case real == nil && ideal == nil:
		return "No single change that was tried lets it carry more."
	case real == nil:
		return "No other part of the folder and no change of the case buys more. A better part would: " + say(ideal) + "."
	case ideal == nil || ideal.More <= real.More:
		return "Of single changes this buys most: " + say(real) + "."
	}
	return fmt.Sprintf("Of single changes this buys most: %s. A better part than the folder has: %s.", say(real), say(ideal))
}
