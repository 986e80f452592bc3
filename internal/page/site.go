package page

import (
	"fmt"
	"regexp"
	"strings"

	"hindwatt/internal/figure"
)

// The verdicts.
const (
	Met        = "met"
	Unproven   = "unproven"
	NotMet     = "not met"
	NoEvidence = "no evidence"
)

// Promise is one promise with its verdict, its strip and its evidence, all worded by package promise.
type Promise struct {
	Name     string   // "float": unique in a site
	Label    string   // the sentence on the label
	Verdict  string   // Met, Unproven, NotMet or NoEvidence
	StandsOn string   // "calculated only"; may be empty
	Bound    string   // "-0.2 V to 0.2 V, 95 % of units at confidence 95 %"; may be empty
	Why      []string // reasons, the weightiest first
	Disagree []string // where two kinds of evidence contradict each other: said first
	Lacks    []Lack
	Strip    figure.Plot // a figure.Strip or figure.Ends; nil without a bound
	Axis     string      // what the strip shows: "deviation from the target"
	Safety   bool        // while it is not met it is shown as a warning at the top too
	PageID   string      // the page that answers it; may be empty
	Evidence []Evidence
}

// Evidence is one row of a promise's evidence, formatted.
type Evidence struct {
	Kind       figure.MarkKind
	Carried    bool   // to other conditions, by the model
	Value      string // "27.31 V"
	Interval   string // "27.18 to 27.44 V"
	Conditions string // "22 °C"
	Units      string // "3 units"
	Basis      string // "booked", "counted", "remembered"
	From       string // "records/readings.csv:4"
}

// KindText is the kind as a word.
func (e Evidence) KindText() string {
	if e.Carried {
		return e.Kind.String() + ", carried over"
	}
	return e.Kind.String()
}

// Site is everything that one dossier page prints.
type Site struct {
	Product  string // "Osier 24"
	Subtitle string
	Invented string    // said at the top where the data is invented; may be empty
	Promises []Promise // shown in this order
	Cautions []Note    // what may do harm: shown first
	Advice   []Note    // what else the checks and the reading of the folder say: shown after the promises
	Pages    []Page
	Made     string // the line at the foot: what it was computed from and when; may be empty
}

// Warnings returns the safety promises that are not met.
func (s Site) Warnings() []Promise {
	var out []Promise
	for _, p := range s.Promises {
		if p.Safety && p.Verdict != Met {
			out = append(out, p)
		}
	}
	return out
}

// Count returns how many promises have each verdict, in words: "3 met, 2 unproven, 1 not met, 1 no evidence".
func (s Site) Count() string {
	var parts []string
	for _, v := range []string{Met, Unproven, NotMet, NoEvidence} {
		n := 0
		for _, p := range s.Promises {
			if p.Verdict == v {
				n++
			}
		}
		parts = append(parts, fmt.Sprintf("%d %s", n, v))
	}
	return strings.Join(parts, ", ")
}

var name = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9-]*$`)

// check finds what would make links of the page point nowhere or to two places.
func (s Site) check() error {
	pages, promises := map[string]bool{}, map[string]bool{}
	for _, p := range s.Pages {
		if !name.MatchString(p.ID) || pages[p.ID] || p.ID == "promises" || p.ID == "main" || strings.HasPrefix(p.ID, "promise-") {
			return fmt.Errorf("page: id %q: malformed or not unique; want letters, digits and hyphens, once", p.ID)
		}
		pages[p.ID] = true
	}
	for _, p := range s.Promises {
		switch {
		case p.Name == "" || promises[p.Name]:
			return fmt.Errorf("page: promise %q: empty or not unique; want each name once", p.Name)
		case p.Verdict != Met && p.Verdict != Unproven && p.Verdict != NotMet && p.Verdict != NoEvidence:
			return fmt.Errorf("page: promise %q: verdict %q; want met, unproven, not met or no evidence", p.Name, p.Verdict)
		}
		promises[p.Name] = true
	}
	return nil
}
