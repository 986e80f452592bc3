package intake

import (
	"fmt"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// meanings are texts of which it is known what they mean.
type meanings map[string]string

func (m meanings) of(text string) string {
	if !strings.ContainsAny(text, " .") {
		return text
	}
	if known, there := m[text]; there {
		return known
	}
	known := meaning(text)
	if len(m) < mostReadings {
		m[text] = known
	}
	return known
}

// signature is what two rows that are equal share: the cells of some columns, quantities by what they mean.
func (m meanings) signature(row []product.Field, columns []string) string {
	var b strings.Builder
	for _, c := range columns {
		for _, f := range row {
			if f.Column == c && f.Text != "" {
				b.WriteString(m.of(f.Text))
			}
		}
		b.WriteByte(0)
	}
	return b.String()
}

func meaning(text string) string {
	if digitsIn(text) == 0 || !strings.ContainsAny(text, " .") {
		return text
	}
	q, err := quantity.Parse(text)
	if err != nil {
		return text
	}
	return fmt.Sprintf("%v %v %v %v %s", q.Low, q.Value, q.High, q.Dim, q.Currency)
}
