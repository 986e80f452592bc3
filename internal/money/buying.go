package money

import (
	"errors"
	"math"
)

// BreakEven returns how many units have to be sold until they have earned a fixed cost.
//
//	fixed     paid whatever is sold, ≥ 0
//	price     that one unit brings
//	variable  that one unit costs
//
// units = fixed/(price - variable); whole is the smallest whole number of units that earns
// fixed, decided exactly. ok is false if there is none, since price is not above variable. The amounts
// are in one currency.
func BreakEven(fixed, price, variable Amount) (units, whole float64, ok bool) {
	margin := price.Minus(variable)
	if margin.Sign() <= 0 {
		return 0, 0, false
	}
	units = fixed.Float64() / margin.Float64() // [M3]
	const wholes = 1 << 53                     // from here on every float64 is a whole number
	if !(units < wholes) {
		return units, units, true
	}
	n := int(max(math.Floor(units)-1, 0))
	for margin.Times(n).Cmp(fixed) < 0 {
		n++
	}
	return units, float64(n), true
}

// OrderQuantity returns the quantity of at least need that costs least, and its cost as it is
// booked: Terms.Order without a minimum and without packs.
func OrderQuantity(need int, breaks []Break) (quantity int, cost Amount, err error) {
	o, err := Terms{Breaks: breaks}.Order(need)
	return o.Quantity, o.Cost, err
}

// GoodUnit returns the share of units that pass every step, and what one of those costs.
//
//	costs   added to a unit by each step, in order
//	yields  share of the units that pass each step, 0 to 1; as many as costs
//
// A unit that is scrapped loses all that was added so far: what passes step k has
// cost C_k = (C_(k-1) + c_k)/y_k, so that C = Σ c_k/Π(j≥k) y_j. ok is false if no unit passes.
func GoodUnit(costs, yields []float64) (rolled, cost float64, ok bool, err error) {
	if len(costs) != len(yields) {
		return 0, 0, false, errors.New("money: costs and yields differ in number")
	}
	rolled = 1
	for k, y := range yields {
		rolled *= y
		cost = (cost + costs[k]) / y // [M5]
	}
	if rolled == 0 {
		return 0, 0, false, nil
	}
	return rolled, cost, true, nil
}
