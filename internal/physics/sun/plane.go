package sun

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// A Vector points from a place; its parts are those of a unit vector.
type Vector struct{ East, North, Up float64 }

// Dot returns the cosine of the angle between two directions.
func (v Vector) Dot(w Vector) float64 { return v.East*w.East + v.North*w.North + v.Up*w.Up }

// Direction returns where the sun stands at a latitude, for a declination and an hour angle, all rad.
// Its Up is the cosine of the zenith angle, [DB] eq. 1.6.5, [SN4].
func Direction(latitude, declination, hourAngle float64) Vector {
	sp, cp := numeric.Sin(latitude), numeric.Cos(latitude)
	sd, cd := numeric.Sin(declination), numeric.Cos(declination)
	sh, ch := numeric.Sin(hourAngle), numeric.Cos(hourAngle)
	return Vector{East: -cd * sh, North: sd*cp - cd*sp*ch, Up: sd*sp + cd*cp*ch}
}

// A Plane is where a panel or a collector stands.
type Plane struct {
	Tilt    float64 // from level, rad, 0..π
	Azimuth float64 // that it faces, from north over east, rad
	Ground  float64 // share of light that the ground throws back, 0..1; 0.2 is usual, fresh snow 0.6 to 0.8
	Glass   float64 // ASHRAE's incidence coefficient b0, ≥ 0; 0 leaves reflection out, 0.05 is usual
}

// Check returns an error that names what is out of range, or nil.
func (p Plane) Check() error {
	switch {
	case !(p.Tilt >= 0 && p.Tilt <= math.Pi):
		return fmt.Errorf("tilt %.4g°: not possible; want 0..180°", p.Tilt/degree)
	case !(math.Abs(p.Azimuth) <= 4*math.Pi):
		return fmt.Errorf("azimuth %.4g°: not possible; want 0..360°, from north over east", p.Azimuth/degree)
	case !(p.Ground >= 0 && p.Ground <= 1):
		return fmt.Errorf("ground reflectance %.4g: not possible; want 0..1", p.Ground)
	case !(p.Glass >= 0 && p.Glass <= 1):
		return fmt.Errorf("incidence coefficient %.4g: not possible; want 0..1", p.Glass)
	}
	return nil
}

// Normal returns the direction in which the plane faces.
func (p Plane) Normal() Vector {
	s := numeric.Sin(p.Tilt)
	return Vector{East: s * numeric.Sin(p.Azimuth), North: s * numeric.Cos(p.Azimuth), Up: numeric.Cos(p.Tilt)}
}

// A Collector is a plane made ready for many evaluations.
type Collector struct {
	normal      Vector
	sky, ground float64 // share of the sky's and of the ground's light
	b0          float64
}

// diffuseModifier is the share of diffuse light that glass lets pass: that of beam at some 58°,
// [DB] 5.4; ASHRAE's b0 of 0.05 gives 0.956 there.
const diffuseModifier = 0.95

// nearest is the extraterrestrial irradiance in early January, W/m².
const nearest = 1.035 * Constant

// Collector prepares the plane.
func (p Plane) Collector() Collector {
	c := Collector{normal: p.Normal(), b0: p.Glass}
	pass := 1.0
	if p.Glass > 0 {
		pass = diffuseModifier
	}
	c.sky = pass * (1 + c.normal.Up) / 2
	c.ground = pass * p.Ground * (1 - c.normal.Up) / 2
	return c
}

// Irradiance returns what reaches the cells, W/m², [SN12]: J. E. Hay and J. A. Davies, 1980, [DB] eq. 2.16.4
// without its horizon term, with ASHRAE's incidence modifier.
//
//	to              direction of the sun
//	global, diffuse on the level, W/m², ≥ 0
//	outside         extraterrestrial irradiance on a plane facing the sun, W/m²; 0 for an isotropic sky
//
// The beam is at most the extraterrestrial: what exceeds it near the horizon counts as diffuse.
func (c Collector) Irradiance(to Vector, global, diffuse, outside float64) float64 {
	diffuse = min(diffuse, global)
	sum := global * c.ground
	if to.Up <= 0 {
		return sum + global*c.sky
	}
	isotropic := outside <= 0
	if isotropic {
		outside = nearest
	}
	beam := min((global-diffuse)/to.Up, outside)
	diffuse = global - beam*to.Up
	around := 0.0 // diffuse light from around the sun, as a beam
	if !isotropic {
		around = min(diffuse*beam/outside/to.Up, outside-beam) // anisotropy, [DB] eq. 2.16.1
	}
	diffuse -= around * to.Up
	sum += diffuse * c.sky
	cos := to.Dot(c.normal)
	if cos <= 0 {
		return sum
	}
	return sum + (beam+around)*cos*c.modifier(cos)
}

// modifier returns the share of a beam that glass lets pass, [DB] eq. 7.6.6.
func (c Collector) modifier(cos float64) float64 { return max(0, 1-c.b0*(1/cos-1)) }

// MeanBeamRatio returns the beam of a month's mean day on a plane that faces the equator, as a
// multiple of the level beam: [DB] eq. 2.19.3. Latitude, declination and tilt in rad; 0 in polar night.
func MeanBeamRatio(latitude, declination, tilt float64) float64 {
	toward := latitude - tilt
	if latitude < 0 {
		toward = latitude + tilt
	}
	ws := SunsetAngle(latitude, declination)
	wt := min(ws, SunsetAngle(toward, declination))
	part := func(lat, w float64) float64 {
		return numeric.Cos(lat)*numeric.Cos(declination)*numeric.Sin(w) + w*numeric.Sin(lat)*numeric.Sin(declination)
	}
	level := part(latitude, ws)
	if level <= 0 {
		return 0
	}
	return max(0, part(toward, wt)/level)
}
