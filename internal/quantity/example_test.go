package quantity_test

import (
	"fmt"

	"hindwatt/internal/quantity"
)

func ExampleParse() {
	q, err := quantity.Parse("10 kohm +-1 % +-50 ppm/K")
	fmt.Println(q, err)
	fmt.Println(q.Low, q.High, q.Drift, q.Dim.Name())
	// Output:
	// 10 kΩ ±1 % ±50 ppm/K <nil>
	// 9900 10100 5e-05 resistance
}

func ExampleParseAs() {
	_, err := quantity.ParseAs("5 A", quantity.Voltage)
	fmt.Println(err)
	_, err = quantity.ParseAs("13,8V", quantity.Voltage)
	fmt.Println(err)
	// Output:
	// "5 A" is a current; want a voltage such as 27.3 V
	// "13,8V": decimal comma; write 13.8 V
}

func ExampleParseAccuracy() {
	meter, _ := quantity.ParseAccuracy("±(0.5 % + 2 digits)")
	fmt.Println(meter, quantity.Format(meter.Limit(27.3, 0.01), quantity.Voltage, "V", 3))
	// Output: ±(0.5 % + 2 digits) 0.157 V
}

func ExampleFormat() {
	fmt.Println(quantity.Format(27.3, quantity.Voltage, "V", 2))
	fmt.Println(quantity.Format(0.0481, quantity.Voltage, "", 1))
	fmt.Println(quantity.Format(298.15, quantity.TemperaturePoint, "°C", -3))
	// Output:
	// 27.30 V
	// 48.1 mV
	// 25.0 °C
}

func ExampleDimension_Mul() {
	fmt.Println(quantity.Voltage.Mul(quantity.Current).Name())
	// Output: power
}
