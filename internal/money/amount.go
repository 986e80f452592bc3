package money

import (
	"fmt"
	"math"
	"strings"

	"github.com/cockroachdb/apd/v3"
)

// An Amount is an exact decimal sum of money. The zero value is 0 without a currency.
type Amount struct {
	value    apd.Decimal
	currency string
}

// exact computes without rounding.
var exact = &apd.BaseContext

// booking holds any amount that float64 can.
var booking = func() *apd.Context {
	c := apd.BaseContext.WithPrecision(1500)
	c.Rounding = apd.RoundHalfEven
	return c
}()

// New returns the amount with the fewest digits that v is the nearest float64 of: what was
// written with up to 15 digits is exactly that.
//
//	v         finite, else an error
//	currency  ISO 4217, or "" for a plain number
func New(v float64, currency string) (Amount, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Amount{}, fmt.Errorf("money: %g is no amount", v)
	}
	a := Amount{currency: currency}
	_, err := a.value.SetFloat64(v)
	return a, err
}

// Currency returns the ISO 4217 code, "" for a plain number.
func (a Amount) Currency() string { return a.currency }

// Float64 returns the nearest float64; ±Inf if there is none.
func (a Amount) Float64() float64 {
	v, _ := a.value.Float64() // the error tells of ±Inf only
	return v
}

// Times returns n times a, exactly.
func (a Amount) Times(n int) Amount {
	product := Amount{currency: a.currency}
	must(exact.Mul(&product.value, &a.value, apd.New(int64(n), 0)))
	return product
}

// Minus returns a - b, exactly, in the currency of a; the caller sees to it that b has the same.
func (a Amount) Minus(b Amount) Amount {
	difference := Amount{currency: a.currency}
	must(exact.Sub(&difference.value, &a.value, &b.value))
	return difference
}

// Cmp returns -1, 0 or 1 as a is less than, equal to or more than b, in the same currency.
func (a Amount) Cmp(b Amount) int { return a.value.Cmp(&b.value) }

// Sign returns -1, 0 or 1.
func (a Amount) Sign() int { return a.value.Sign() }

// Booked returns a as it is booked: rounded to the minor unit of its currency, half to
// even; unchanged without a currency.
func (a Amount) Booked() Amount {
	if a.currency == "" {
		return a
	}
	booked := Amount{currency: a.currency}
	must(booking.Quantize(&booked.value, &a.value, -minorDigits(a.currency)))
	return booked
}

// must panics if a computation failed, which no amount that New makes can do.
func must(_ apd.Condition, err error) {
	if err != nil {
		panic("money: " + err.Error())
	}
}

// Currencies whose minor unit is not a hundredth (ISO 4217, list one; from memory).
const (
	withoutMinor = " BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF "
	thousandths  = " BHD IQD JOD KWD LYD OMR TND "
)

// minorDigits returns the decimals of a currency's minor unit.
func minorDigits(currency string) int32 {
	switch {
	case strings.Contains(withoutMinor, " "+currency+" "):
		return 0
	case strings.Contains(thousandths, " "+currency+" "):
		return 3
	}
	return 2
}
