package calc

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/money"
	"hindwatt/internal/quantity"
)

const wantMoney = "want a sum of money such as 34 EUR, or a plain number; 0 or more"

func init() {
	register(
		Calculator{
			Name:     "learning",
			Question: "How long does the n-th unit take, and all of them up to it?",
			Inputs: []Input{
				{Name: "first", Dim: quantity.Time, Valid: notNegative, Help: "time of the first unit"},
				{Name: "rate", Valid: func(v float64) bool { return v > 0 && v <= 1 }, Want: "want a number above 0 up to 1 such as 0.85 or 85 %",
					Help: "time of a unit after each doubling of the number, such as 0.85 or 85 %; 1 is no learning"},
				{Name: "unit", Whole: true, Valid: positive, Want: "want a whole number from 1 to 1000000000", Help: "which unit: n"},
			},
			Results: []Result{{"unit_time", "unit of first", "of the n-th unit"}, {"cumulative", "unit of first", "of all n units"}},
			Formula: "unit_time = first·n^b, b = log2(rate); cumulative = Σ(k = 1..n) first·k^b",
			Source: "unit theory: Crawford 1944. Wright, J. Aeronautical Sciences 3 (1936), p. 122, takes the cumulative average instead: " +
				"there all n units take n·first·n^b, which is n times the unit_time here",
			Compute: learning,
		},
		Calculator{
			Name:     "cash",
			Question: "What is a cash flow worth today, and at what rate does it pay?",
			Inputs: []Input{
				{Name: "flows", Text: true, Help: "one sum a period, the first one now, such as \"-1800 EUR, 700 EUR, 1500 EUR\" or plain numbers; payments are negative"},
				{Name: "rate", Valid: func(v float64) bool { return v > -1 }, Want: "want a number above -1 such as 0.08 or 8 %", Help: "of discount per period, such as 0.08 or 8 %"},
			},
			Results: []Result{{"npv", "-", "net present value, in the currency of the flows"}, {"irr", "-", "internal rate of return per period"}},
			Formula: "npv = Σ(k = 0..n) flow_k/(1 + rate)^k; irr is the only rate above -1 with npv = 0",
			Source:  "definitions; all rates are found by Descartes' rule of signs as Laguerre proved it (J. Math. Pures Appl. 9, 1883)",
			Compute: cash,
		},
		Calculator{
			Name:     "break-even",
			Question: "How many units have to be sold until they have earned the fixed cost?",
			Inputs: []Input{
				{Name: "fixed", Any: true, Valid: notNegative, Want: wantMoney, Help: "cost that is paid whatever is sold"},
				{Name: "price", Like: "fixed", Valid: notNegative, Help: "that one unit brings, after fees and taxes"},
				{Name: "variable", Like: "fixed", Valid: notNegative, Help: "cost of one unit"},
			},
			Results: []Result{{"units", "-", ""}, {"whole_units", "-", "the smallest whole number that earns the fixed cost"}},
			Formula: "units = fixed/(price − variable); whole_units = ⌈units⌉, in exact decimal numbers",
			Source:  "definition",
			Compute: breakEven,
		},
		Calculator{
			Name:     "order-quantity",
			Question: "How many should be ordered where the price falls with the quantity?",
			Inputs: []Input{
				{Name: "need", Whole: true, Valid: positive, Want: "want a whole number from 1 to 1000000000", Help: "pieces needed"},
				{Name: "breaks", Text: true, Help: "price of one piece from a quantity on, such as \"1:0.52 EUR, 10:0.41 EUR, 100:0.23 EUR\" or plain numbers"},
			},
			Results: []Result{{"quantity", "-", "pieces to order"}, {"cost", "-", "of the order, in the currency of the prices"}},
			Formula: "the least q·price(q) over q = need and each break above it; of equal costs the smaller q. " +
				"The cost is exact, and in a currency rounded as it is booked: to the minor unit, half to even",
			Source:  "definition; ISO 4217 for the minor unit",
			Compute: orderQuantity,
		},
		Calculator{
			Name:     "yield",
			Question: "What share of units passes every step, and what does a good one cost?",
			Inputs: []Input{
				{Name: "costs", Text: true, Help: "added to a unit by each step, in order, such as \"12 EUR, 3 EUR, 0.80 EUR\" or plain numbers"},
				{Name: "yields", Text: true, Help: "share of units that passes each step, such as \"0.98, 95 %, 1\""},
			},
			Results: []Result{{"rolled_throughput", "-", "share of units that pass every step"}, {"cost_per_good", "-", "of a unit that passes every step, in the currency of the costs"}},
			Formula: "rolled_throughput = Π y_k; cost_per_good = Σ_k c_k/Π(j ≥ k) y_j: what is scrapped loses all that was added so far",
			Source:  "definitions",
			Compute: goodUnit,
		},
	)
}

// learning gives its results in the unit of the first time.
func learning(_ context.Context, in Values) (Answers, error) {
	unit := unitOf(in.Quantity("first"))
	_, scale, _ := quantity.UnitDimension(unit)
	time, all, err := money.Learning(in.Number("first")/scale, in.Number("rate"), in.Whole("unit"))
	return is(time, all).in(unit), err
}

func cash(_ context.Context, in Values) (Answers, error) {
	flows, currency, err := in.amounts("flows")
	if err != nil {
		return Answers{}, err
	}
	rates, err := money.RatesOfReturn(flows)
	if err != nil {
		return Answers{}, err
	}
	irr := Answer{}
	if len(rates) == 1 {
		irr.Value = rates[0]
	} else {
		irr.None = noRate(flows, rates)
	}
	again := func(in Values) (Answers, error) {
		npv := Answer{Value: money.PresentValue(flows, in.Number("rate")), Unit: currency}
		return Answers{List: []Answer{npv, irr}}, nil
	}
	a, err := again(in)
	a.Again = again
	return a, err
}

// noRate says why there is no single rate of return.
func noRate(flows, rates []float64) string {
	least, most := slices.Min(flows), slices.Max(flows)
	switch {
	case len(rates) > 1:
		var list []string
		for _, r := range rates {
			list = append(list, fmt.Sprintf("%.7g", r))
		}
		return fmt.Sprintf("%d rates of return: %s", len(rates), strings.Join(list, ", "))
	case least == 0 && most == 0:
		return "any rate is one: every flow is 0"
	case least >= 0:
		return "no rate of return: nothing is paid"
	case most <= 0:
		return "no rate of return: nothing comes in"
	case money.PresentValue(flows, 0) < 0:
		return "no rate of return: the present value is below 0 at every rate"
	}
	return "no rate of return: the present value is above 0 at every rate"
}

func breakEven(_ context.Context, in Values) (Answers, error) {
	names := []string{"fixed", "price", "variable"}
	sums := make([]money.Amount, len(names))
	for i, name := range names {
		q := in.Quantity(name)
		switch {
		case q.Dim != quantity.Money && (q.Dim != quantity.Ratio || q.Unit != ""):
			return Answers{}, wrong(name, "not a sum of money", wantMoney)
		case q.Currency != in.Quantity("fixed").Currency:
			return Answers{}, wrong(name, "a second currency beside "+in.Quantity("fixed").Currency, "want one currency")
		}
		var err error
		if sums[i], err = money.New(in.Number(name), q.Currency); err != nil {
			return Answers{}, err
		}
	}
	units, whole, ok := money.BreakEven(sums[0], sums[1], sums[2])
	if !ok {
		const why = "the price is not above the variable cost: no number of units earns the fixed cost"
		return Answers{List: []Answer{{None: why}, {None: why}}}, nil
	}
	return is(units, whole), nil
}

func orderQuantity(_ context.Context, in Values) (Answers, error) {
	breaks, err := money.ParseBreaks(in.Text("breaks"))
	if err != nil {
		return Answers{}, inKey("breaks", in.Text("breaks"), err)
	}
	pieces, cost, err := money.OrderQuantity(in.Whole("need"), breaks)
	a := is(float64(pieces), cost.Float64())
	a.List[1].Unit = cost.Currency()
	return a, err
}

func goodUnit(_ context.Context, in Values) (Answers, error) {
	var faults Errors
	costs, currency, err := in.amounts("costs")
	if err != nil {
		faults = append(faults, err.(*Error))
	}
	yields, err := money.ParseShares(in.Text("yields"))
	if err != nil {
		faults = append(faults, inKey("yields", in.Text("yields"), err))
	}
	if len(faults) > 0 {
		return Answers{}, faults
	}
	if i := slices.IndexFunc(costs, func(c float64) bool { return c < 0 }); i >= 0 {
		return Answers{}, wrong("costs", fmt.Sprintf("cost %d is negative", i+1), "want 0 or more")
	}
	if len(costs) != len(yields) {
		return Answers{}, wrong("yields", fmt.Sprintf("%d for %d costs", len(yields), len(costs)), "want one for each cost")
	}
	rolled, cost, ok, err := money.GoodUnit(costs, yields)
	a := is(rolled, cost)
	a.List[1].Unit = currency
	if !ok {
		a.List[1].None = "no unit passes every step"
	}
	return a, err
}

// amounts reads a list of sums of money; its error is an *Error.
func (v Values) amounts(name string) (sums []float64, currency string, err error) {
	list, err := money.ParseAmounts(v.Text(name))
	if err != nil {
		return nil, "", inKey(name, v.Text(name), err)
	}
	for _, a := range list {
		sums = append(sums, a.Float64())
	}
	return sums, list[0].Currency(), nil
}
