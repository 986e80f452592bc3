package quantity

import "errors"

var errSoon = errors.New("quantity: being written")

type Held struct{ Level, Time Quantity }
type Accuracy struct {
	Relative, Digits float64
	Absolute         Quantity
}

func Parse(s string) (Quantity, error)                                  { return Quantity{}, errSoon }
func ParseAs(s string, d Dimension) (Quantity, error)                   { return Quantity{}, errSoon }
func ParseSize(s string) ([]Quantity, error)                            { return nil, errSoon }
func ParseHeld(s string) (Held, error)                                  { return Held{}, errSoon }
func ParseAccuracy(s string) (Accuracy, error)                          { return Accuracy{}, errSoon }
func (a Accuracy) Limit(reading, digit float64) float64                 { return 0 }
func (a Accuracy) String() string                                       { return "" }
func (q Quantity) String() string                                       { return "" }
func (q Quantity) In(unit string) (float64, error)                      { return 0, errSoon }
func (q Quantity) StandardUncertainty() float64                         { return 0 }
func Format(v float64, d Dimension, unit string, digits int) string     { return "" }
func (d Dimension) Name() string                                        { return "" }
func (d Dimension) Example() string                                     { return "" }
func (d Dimension) Unit() string                                        { return "" }
func (d Dimension) Mul(e Dimension) Dimension                           { return d }
func (d Dimension) Div(e Dimension) Dimension                           { return d }
func (d Dimension) Pow(n int) Dimension                                 { return d }
func (d Dimension) Root(n int) (Dimension, bool)                        { return d, false }
func UnitDimension(unit string) (dim Dimension, scale float64, ok bool) { return }
