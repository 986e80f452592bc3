package fault

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A Value is one input.
type Value = quantity.Written

// Input is all that the study rests on. A nil Value is not given; what then stands in for it is told by Result.Taken.
type Input struct {
	Design hardware.Design

	Label              *Value // A: how large a panel and a load it is made for
	Absorption         *Value // V of the whole battery; nil: 14.4 V for every 12 V
	Disconnect         *Value // V, at which the load is cut off; nil: never
	Compensation       *Value // V/K of the absorption voltage, from 25 °C; nil: none
	CompensationLimits *Value // K, beyond which it stays; nil: -40 to 85 °C, what a control makes of a lost sensor
	Automatic          bool   // the control chooses between two nominal voltages by itself
	ReverseOff         *Value // s from when the charge switch's current turns back until it is off; nil: that is not looked for
	LoadMax            *Value // V that a load bears; nil: 4/3 of the nominal voltage
	Ambient            *Value // K; nil: 40 °C; of a range the hot end
	Lowest             *Value // K, the lowest that the place has known; nil: -40 °C
	Load               *Value // A, what usually hangs on it; nil or more than that: a tenth of the label's current
	Panel              Panel
	Battery            Battery

	Others []hardware.Component // other mosfets, diodes, fuses and clamps of the folder, by their data sheets: what would save it is looked for among them first
	Prices []Price              // what parts cost; may be empty

	Returned []Return // what came back with a fault; shown beside the order of failures, and no part of it

	Only      []string // names of the cases that are wanted; empty: all
	Depth     int      // 2: also every mistake after another mistake or failure, see Result.Pairs; else 1
	Units     int      // units for the intervals of the margins; 0: 200; below 0: none, margins without intervals
	NoRescues bool     // what would save it is not looked for
	Seed      uint64
}

// Panel is what is connected at pv+ and pv-, all of it. With ShortCircuit nil it is one of 36 cells for every 12 V whose short-circuit
// current is the label's current over 1.25.
type Panel struct {
	ShortCircuit, OpenCircuit *Value // A, V, of one panel at 1000 W/m² and 25 °C
	PeakCurrent, PeakVoltage  *Value // A, V
	VoltageTempco             *Value // V/K
	DarkShunt                 *Value // Ω, of one panel
	Cells                     int    // of one panel; 0: by its open-circuit voltage
	Series, Parallel          int    // panels; 0: 1
	NoBypass                  bool   // without bypass diodes; false: one for every 18 cells, as usual panels have them
	From                      string
	Instead                   string // why it is not the one that a run on the bench tells of; "" where it is as wanted
}

// Battery is what is connected at bat+ and bat-, all of it.
type Battery struct {
	Chemistry  string // "": agm
	Cells      int    // in series; 0: of 2 V each, of lithium iron phosphate 3.2 V
	Capacity   *Value // C; nil: eight hours of the label's current
	Resistance *Value // Ω; nil: 10 mΩ for every 12 V

	ProtectionHigh, ProtectionLow *Value // V, at which the own protection of a lithium battery opens; nil: 3.65 V and 2.5 V a cell
	From                          string
}

// Return is for what reason units came back in which a fault was found.
type Return struct {
	Reason string // "q1 short", as it was written down
	Count  float64
	Own    float64 // of them of the revision that is looked at
}

// Price is what one part costs.
type Price struct {
	Part string // by its name in the folder
	Each money.Amount
	From string // file:line
}

// Taken is a value that stands in for one that is not given, or an opinion of the study.
type Taken struct {
	Name string // "panel, short-circuit current"
	Text string // "8 A"
	Note string // on what it rests
	Key  string // "installations/NAME.toml, panel.part": what would replace it; "" for nothing
}

// Lacks names what stops the study.
func (in *Input) Lacks() (out []page.Lack) {
	for _, l := range in.Design.Lacks() {
		if l.Fatal {
			out = append(out, page.Lack{File: l.File, Key: l.Key, Why: l.Why})
		}
	}
	if in.Label == nil {
		out = append(out, page.Lack{File: "product.toml", Key: "current", Why: "how large a panel and a load it is made for"})
	}
	if in.Design.NominalVoltage == nil {
		out = append(out, page.Lack{File: "product.toml", Key: "nominal_voltage", Why: "which battery and panel it is made for"})
	}
	if len(in.Design.Components) == 0 {
		out = append(out, page.Lack{File: "product.toml", Key: "circuit", Why: "where a current can flow"})
	}
	return out
}
