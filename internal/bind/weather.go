package bind

import (
	"bytes"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/sun"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge"
)

// far is how far a file's place may be from the installation's before that is said, rad.
const far = 1 * math.Pi / 180

// chargeWeather reads the file of weather that an installation names, in place of its monthly means. A file of named columns does not
// say where it is of: without latitude and longitude nothing is read, and they are what the study lacks.
func chargeWeather(p *product.Product, i *product.Installation, in *charge.Input) error {
	if !i.Weather.Set() || i.Weather.Text == "" {
		return nil
	}
	in.WeatherFrom = i.Weather.Text
	data, err := p.Folder.WeatherFile(i)
	if err != nil {
		return err
	}
	placed := i.Latitude.Set() && i.Longitude.Set()
	site := weather.Site{Place: sun.Place{Latitude: i.Latitude.Value, Longitude: i.Longitude.Value, Elevation: i.Elevation.Value}}
	site.Zone = 3600 * math.Round(weather.SolarZone(site.Longitude)/3600)
	if i.Zone.Set() {
		site.Zone = i.Zone.Value
	}
	record, err := weather.Read(i.Weather.Text, bytes.NewReader(data), site)
	if err != nil {
		return err
	}
	if record.Layout == "CSV" && !placed {
		return nil
	}
	in.Weather = record
	at := record.Site
	if east := (at.Longitude - site.Longitude) * numeric.Cos(at.Latitude); placed && math.Hypot(at.Latitude-site.Latitude, east) > far {
		record.Notes = append(record.Notes, fmt.Sprintf("%s is of a place at %.2f°, %.2f°, not of the installation's; the file's counts", i.Weather.Text,
			at.Latitude*180/math.Pi, at.Longitude*180/math.Pi))
	}
	in.Latitude, in.Longitude = ofFile(at.Latitude, quantity.Angle, "°", i), ofFile(at.Longitude, quantity.Angle, "°", i)
	in.Elevation = ofFile(at.Elevation, quantity.Length, "m", i)
	if record.Layout == "CSV" {
		in.Latitude, in.Longitude, in.Elevation = Value(i.Latitude), Value(i.Longitude), Value(i.Elevation)
	}
	return nil
}

// ofFile is what a file of weather says of its place.
func ofFile(v float64, dim quantity.Dimension, unit string, i *product.Installation) *charge.Value {
	return &charge.Value{Quantity: quantity.Quantity{Value: v, Low: v, High: v, Dim: dim, Unit: unit}, From: i.Weather.Text}
}
