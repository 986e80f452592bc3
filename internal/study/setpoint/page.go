package setpoint

import (
	"context"

	"hindwatt/internal/page"
)

// A Bound is what a promise allows for a quantity, V; nil is open. Text names the promise.
type Bound struct {
	Quantity string
	Min, Max *float64
	Text     string
}

// Page words the answer, with the bounds of promises drawn in.
func (r *Result) Page(ctx context.Context, bounds ...Bound) (page.Page, error) {
	return page.Page{ID: "setpoint", Question: "Does it stop at the right voltage?", Short: "Right voltage?"}, nil
}
