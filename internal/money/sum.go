package money

import (
	"fmt"

	"github.com/cockroachdb/apd/v3"
)

// quotient keeps 34 digits, half to even: far below any minor unit, and booked afterwards.
var quotient = func() *apd.Context {
	c := apd.BaseContext.WithPrecision(34)
	c.Rounding = apd.RoundHalfEven
	return c
}()

// Plus returns a + b, exactly, in the currency of a, or of b where a has none; the caller sees to
// it that they have the same.
func (a Amount) Plus(b Amount) Amount {
	sum := Amount{currency: a.currency}
	if sum.currency == "" {
		sum.currency = b.currency
	}
	must(exact.Add(&sum.value, &a.value, &b.value))
	return sum
}

// Scaled returns a · factor, exactly, factor taken as the shortest decimal that it is the nearest
// float64 of. A factor that is not finite is an error.
func (a Amount) Scaled(factor float64) (Amount, error) {
	f, err := New(factor, "")
	if err != nil {
		return Amount{}, err
	}
	product := Amount{currency: a.currency}
	_, err = exact.Mul(&product.value, &a.value, &f.value)
	return product, err
}

// Into returns a in another currency at a rate, exactly; rate is what one of a's currency is worth.
func (a Amount) Into(currency string, rate float64) (Amount, error) {
	out, err := a.Scaled(rate)
	out.currency = currency
	return out, err
}

// Included returns the part of a that a tax of this rate makes up where a is the price with the
// tax, to 34 digits: a · rate/(1 + rate).
//
//	rate  fraction ≥ 0, else an error
func (a Amount) Included(rate float64) (Amount, error) {
	if rate < 0 {
		return Amount{}, fmt.Errorf("money: a tax of %g; want 0 or more", rate)
	}
	top, err := a.Scaled(rate)
	if err != nil {
		return Amount{}, err
	}
	r, err := New(rate, "")
	if err != nil {
		return Amount{}, err
	}
	whole := apd.New(1, 0)
	must(exact.Add(whole, whole, &r.value))
	_, err = quotient.Quo(&top.value, &top.value, whole)
	return top, err
}

// Spread divides a booked amount over parts in proportion to their weights, each in whole minor
// units: every part is cut, and what is left goes, a unit each, to the parts that lost most (the
// earlier of equals). The parts add up to a exactly.
//
//	weights  ≥ 0, not all 0, else a stands in the first part; at least one
func (a Amount) Spread(weights []int) []Amount {
	a = a.Booked()
	parts := make([]Amount, len(weights))
	total := 0
	for i, w := range weights {
		parts[i].currency = a.currency
		total += w
	}
	if total == 0 {
		parts[0] = a
		return parts
	}
	unit := apd.New(1, -minorDigits(a.currency))
	lost, rest := make([]apd.Decimal, len(weights)), a
	down := booking.WithPrecision(1500)
	down.Rounding = apd.RoundDown
	for i, w := range weights {
		share := a.Times(w)
		must(quotient.Quo(&share.value, &share.value, apd.New(int64(total), 0)))
		must(down.Quantize(&parts[i].value, &share.value, -minorDigits(a.currency)))
		must(exact.Sub(&lost[i], &share.value, &parts[i].value))
		lost[i].Abs(&lost[i])
		rest = rest.Minus(parts[i])
	}
	unit.Negative = rest.Sign() < 0
	for rest.Sign() != 0 {
		most := 0
		for i := range lost {
			if lost[i].Cmp(&lost[most]) > 0 {
				most = i
			}
		}
		lost[most] = *apd.New(-1, 0)
		must(exact.Add(&parts[most].value, &parts[most].value, unit))
		must(exact.Sub(&rest.value, &rest.value, unit))
	}
	return parts
}
