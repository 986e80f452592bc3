package page

import (
	"io"

	"hindwatt/internal/figure"
)

// Verdict words.
const (
	Met        = "met"
	Unproven   = "unproven"
	NotMet     = "not met"
	NoEvidence = "no evidence"
)

// Promise is one promise with its verdict, its strip and its evidence, all worded by the promise package.
type Promise struct {
	Name     string // "float"
	Label    string // the sentence on the label
	Verdict  string // Met, Unproven, NotMet or NoEvidence
	StandsOn string // "calculated only"; may be empty
	Bound    string // "-0.2 V to 0.2 V, 95 % of units at confidence 95 %"; may be empty
	Why      []string
	Disagree []string // where two kinds of evidence contradict each other: said first
	Lacks    []Lack
	Strip    figure.Strip
	HasStrip bool
	Safety   bool
	PageID   string // the page that answers it; may be empty
	Evidence []Evidence
}

// Evidence is one row of a promise's evidence, formatted.
type Evidence struct {
	Kind       figure.MarkKind
	Carried    bool
	Value      string // "27.31 V"
	Interval   string // "27.18 to 27.44 V"
	Conditions string // "22 °C"
	Units      string // "3 units"
	Basis      string // "booked", "counted", "remembered"
	From       string // "records/readings.csv:4"
}

// Site is everything that one dossier page prints.
type Site struct {
	Product  string // "Osier 24"
	Subtitle string
	Invented string // said at the top where the data is invented; may be empty
	Promises []Promise
	Cautions []Note // those that matter most, shown first
	Pages    []Page
	Made     string // the line at the foot: what it was computed from and when
}

// HTML writes the site as one file that needs nothing else.
func (s Site) HTML(w io.Writer) error { return nil }

// Text writes the promises for a terminal of width columns: verdict, label, strip and reasons.
func (s Site) Text(w io.Writer, width int, style figure.TextStyle) error { return nil }
