package figure

// BudgetLine is what one input contributes to the spread.
type BudgetLine struct {
	Name         string
	Share        float64 // of the variance, 0..1 (may be below 0 with correlated inputs)
	Contribution float64 // standard uncertainty, in the budget's unit
	From         string  // "product.toml:12"; may be empty
}

// Budget draws an uncertainty budget as bars, largest share first.
type Budget struct {
	Title  string // "where the spread of the float voltage comes from"
	Unit   string
	Lines  []BudgetLine
	Most   int // bars before the rest is pooled; 0: 8
	Source string
}

func (b Budget) Drawing(width float64) Drawing            { return Drawing{} }
func (b Budget) Text(width int, style TextStyle) []string { return nil }
