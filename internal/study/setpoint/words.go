package setpoint

import "hindwatt/internal/quantity"

// showTemperature writes a temperature of K as "-10 °C".
func showTemperature(k float64) string {
	return quantity.Format(k, quantity.TemperaturePoint, "°C", 0)
}
