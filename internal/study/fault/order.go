package fault

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"hindwatt/internal/page"
)

const sharesFrom = "MIL-HDBK-338B, failure mode distributions, from memory"

// share is which part of the failures of a kind of part are of a mode.
type share struct {
	kind, mode string
	part       float64
}

// shares are published (MODELS G2); they order, they are no rates.
var shares = []share{
	{"mosfet", "short", 0.51}, {"mosfet", "open", 0.05}, {"mosfet", "stuck on", 0.05}, {"mosfet", "stuck off", 0.22},
	{"diode", "short", 0.51}, {"diode", "open", 0.29}, {"clamp", "open", 0.45}, {"clamp", "short", 0.20}, {"clamp", "drift", 0.35},
	{"reference", "drift", 0.69}, {"reference", "open", 0.18}, {"reference", "short", 0.13}, {"lamp", "open", 0.70}, {"lamp", "short", 0.30},
	{"resistor", "open", 0.59}, {"resistor", "drift", 0.36}, {"resistor", "short", 0.05}, {"thermistor", "open", 0.63}, {"thermistor", "short", 0.15},
	{"capacitor", "short", 0.53}, {"capacitor", "open", 0.35}, {"control", "silent", 0.36}, {"control", "open", 0.12},
	{"regulator", "open", 0.23}, {"contact", "open", 0.61}, {"contact", "short", 0.16}, {"fuse", "short", 0.49}, {"fuse", "open", 0.08},
	{"wire", "open", 0.75}, {"wire", "short", 0.25},
}

// order ranks the failures of parts: the worst end first, of those alike the mode that makes most of such a part's failures (IEC
// 60812: severity before frequency). [E20]
func (r *Result) order() {
	for i := range r.Cases {
		c := &r.Cases[i]
		o := r.Worst(c.Name)
		if c.Family != Failure || o == nil {
			continue
		}
		k := Rank{Case: c, Severity: o.End, State: o.State}
		for _, s := range shares {
			if s.kind == c.Kind && s.mode == c.Mode {
				k.Share, k.Source = s.part, sharesFrom
			}
		}
		k.returned(r)
		r.Order = append(r.Order, k)
	}
	slices.SortStableFunc(r.Order, func(a, b Rank) int {
		if a.Severity != b.Severity {
			return cmp.Compare(b.Severity, a.Severity)
		}
		return cmp.Compare(b.Share, a.Share)
	})
}

// returned counts the units that came back for a failure: those whose reason names it, else those whose reason names its part and no
// failure of the circuit.
func (k *Rank) returned(r *Result) {
	failed := func(reason string) bool {
		return slices.ContainsFunc(r.Cases, func(c Case) bool { return c.Family == Failure && strings.Contains(reason, asWords(c.Name)) })
	}
	for _, named := range []bool{true, false} {
		for _, back := range r.Input.Returned {
			reason := asWords(back.Reason)
			if named && strings.Contains(reason, asWords(k.Case.Name)) || !named && strings.Contains(reason, asWords(k.Case.Parts[0])) && !failed(reason) {
				k.Returned, k.Own, k.Named = k.Returned+back.Count, k.Own+back.Own, named
			}
		}
		if k.Returned > 0 {
			return
		}
	}
}

// asWords writes a text in small letters, with a space before, between and after its words.
func asWords(text string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '-' && c != '_' }), " ") + " "
}

// farOff is the voltage of a full battery over the nominal one, or the other way round, from which it is another's; of a full lead battery
// 1.07, of a lithium one of 12.8 V 1.13.
const farOff = 1.3

// caution says what goes before any trial, and what the answer is worth.
func (r *Result) caution() {
	r.Cautions = append(r.Cautions,
		page.Note{Text: "Before any trial on the bench: first a supply with limited current, then a small battery with a fuse. Wear eye protection, air the room or go outdoors, never alone, and never on the only battery.",
			Remedy: "Try what is promised as safe on a unit that may be lost, and write down how it ended.", From: "common practice"},
		page.Note{Text: "This is a calculation from data sheets, and no permission: local codes and licensed practice come first."})
	for k := range r.Outcomes {
		if o := r.Outcomes[k]; o.End == Hazard {
			r.Cautions = append(r.Cautions, page.Note{Text: "Some cases end in a hazard of heat or gas: do not try those at all.", Remedy: "Look at what would save them first."})
			break
		}
	}
	if why := r.Input.Panel.Instead; why != "" {
		said := "The panel is taken by its label, not as the sweep on the bench has it: "
		if r.Input.Panel.From == "" {
			said = "The panel is taken by the product's label, not as the sweep on the bench has it: "
		}
		r.Warnings = append(r.Warnings, page.Note{Text: said + why, Remedy: "mend the run, or name another"})
	}
	if !r.Input.Panel.NoBypass {
		r.Warnings = append(r.Warnings, page.Note{Text: "Panels are taken with bypass diodes: a battery drives its current through a reversed panel.", Remedy: "A panel without them limits that current to its own."})
	}
	if w := r.world; w.lithium {
		r.Warnings = append(r.Warnings, page.Note{Text: "That a lithium battery's own protection may open when it is shorted is left out: the current flows on as if it had none.", Remedy: "Do not count on it in place of a fuse."})
	}
	if w := r.world; w.full < w.nominal/farOff || w.full > w.nominal*farOff {
		r.Warnings = append(r.Warnings, page.Note{Text: fmt.Sprintf("The battery has %s V when full, and the product is made for %s V.", digits(w.full), digits(w.nominal)),
			Remedy: "Look at in_series and cells of the installation's battery.", From: r.Input.Battery.From})
	}
	for i := range r.Input.Design.Components {
		c := &r.Input.Design.Components[i]
		if c.Clamp != nil {
			r.Warnings = append(r.Warnings, page.Note{Text: "The clamp " + c.Name + " conducts a reversed battery as a diode does; its data sheet in the folder says nothing of that direction.",
				Remedy: "Put it behind the fuse, and try a reversed battery from a supply with limited current.", From: c.At})
			break
		}
	}
}
