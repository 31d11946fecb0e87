package chem

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem/thermo"
)

// Errors of a Solution that no pH can be computed for.
var (
	ErrEmpty       = errors.New("nothing in the solution")
	ErrVolume      = errors.New("volume must be above zero")
	ErrAmount      = errors.New("amount must be zero or more")
	ErrTemperature = errors.New("temperature outside 0–60 °C")
	ErrTooMany     = fmt.Errorf("more than %d acid–base systems in one solution", MaxSystems)
	ErrUnbalanced  = errors.New("charges do not balance at any pH from −4 to 19")
	ErrAbsurd      = errors.New("too concentrated")
	ErrPressure    = errors.New("partial pressure of CO₂ must be from 0 to 1 atm")
	ErrUnsettled   = errors.New("activity coefficients do not converge in so strong a solution")
)

// Ion is a spectator ion: it carries charge and takes no part in any equilibrium.
type Ion struct {
	Name   string
	Charge int
}

// IonTotal is an amount of a spectator ion.
type IonTotal struct {
	Ion    Ion
	Amount Amount
}

// SystemTotal is the amount of an acid–base system over all its forms.
type SystemTotal struct {
	System *System
	Amount Amount
}

// Solution is a volume of water with totals of acid–base systems and
// spectator ions. H⁺ and OH⁻ are not listed: they follow from the charge
// balance, so that hydrochloric acid is Cl⁻ and sodium hydroxide is Na⁺.
type Solution struct {
	Volume  Volume
	Temp    Celsius
	Water   Mass // mass of water; 0 means what the solutes leave of Volume
	Systems []SystemTotal
	Ions    []IonTotal
	Room    Volume // that substances without charge and without a system take up
}

// WaterMass is the mass of water: as given, else the volume that the solutes
// leave, times the density of pure water at the temperature of the solution.
// This is how molar input becomes molal.
func (s Solution) WaterMass() Mass {
	if s.Water > 0 {
		return s.Water
	}
	left := s.Volume - s.Solutes()
	if s.Volume <= 0 || left <= 0 {
		return 0
	}
	return Mass(left.Litres()*WaterDensity(s.Temp)) * Kilogram
}

// WaterDensity is the density of air-free water in kg/L, 0–60 °C.
func WaterDensity(t Celsius) float64 { return thermo.WaterDensity(t.Kelvin()) }

// Mix adds the amounts and the volumes of two solutions. The temperature is
// the mean weighted by volume. Neither argument is changed.
func Mix(a, b Solution) Solution {
	out := Solution{Volume: a.Volume + b.Volume, Temp: a.Temp, Room: a.Room + b.Room}
	if out.Volume > 0 && a.Temp != b.Temp { // equal ones must not pick up a rounding error
		mean := Celsius((float64(a.Temp)*float64(a.Volume) + float64(b.Temp)*float64(b.Volume)) / float64(out.Volume))
		out.Temp = max(min(a.Temp, b.Temp), min(mean, max(a.Temp, b.Temp)))
	}
	if a.Water > 0 || b.Water > 0 {
		out.Water = a.WaterMass() + b.WaterMass()
	}
	out.Systems = append(out.Systems, a.Systems...)
	for _, t := range b.Systems {
		out.Systems = addSystem(out.Systems, t)
	}
	out.Ions = append(out.Ions, a.Ions...)
	for _, t := range b.Ions {
		out.Ions = addIon(out.Ions, t)
	}
	return out
}

// Scale is the same solution in k times the amount; k must not be negative.
func (s Solution) Scale(k float64) Solution {
	out := Solution{Volume: Volume(float64(s.Volume) * k), Temp: s.Temp, Water: Mass(float64(s.Water) * k), Room: Volume(float64(s.Room) * k)}
	for _, t := range s.Systems {
		out.Systems = append(out.Systems, SystemTotal{t.System, Amount(float64(t.Amount) * k)})
	}
	for _, t := range s.Ions {
		out.Ions = append(out.Ions, IonTotal{t.Ion, Amount(float64(t.Amount) * k)})
	}
	return out
}

// At is the same solution at another temperature.
func (s Solution) At(t Celsius) Solution {
	s.Temp = t
	return s
}

// MadeUpTo is the same solution with water added to the given volume.
// It adds nothing when the solution already fills it.
func (s Solution) MadeUpTo(v Volume) Solution {
	if v > s.Volume {
		return Mix(s, Solution{Volume: v - s.Volume, Temp: s.Temp})
	}
	return s
}

// Kinds are the acid–base systems in it, without their amounts.
func (s Solution) Kinds() []*System {
	list := make([]*System, len(s.Systems))
	for i, t := range s.Systems {
		list[i] = t.System
	}
	return list
}

// Validate reports what makes the solution impossible to compute, or nil.
func (s Solution) Validate() error {
	if !(s.Volume > 0) || math.IsInf(float64(s.Volume), 0) {
		return fmt.Errorf("chem: %w, got %g mL", ErrVolume, s.Volume.Millilitres())
	}
	if !(s.Water >= 0) || math.IsInf(float64(s.Water), 0) {
		return fmt.Errorf("chem: %w, got %g g of water", ErrVolume, s.Water.Grams())
	}
	if !(s.Temp >= 0 && s.Temp <= 60) {
		return fmt.Errorf("chem: %w: %g °C", ErrTemperature, float64(s.Temp))
	}
	if len(reacting(s.Kinds())) > MaxSystems {
		return fmt.Errorf("chem: %w", ErrTooMany)
	}
	for _, t := range s.Systems {
		if !okAmount(t.Amount) {
			return fmt.Errorf("chem: %s: %w, got %g mmol", t.System.Name, ErrAmount, t.Amount.Millimoles())
		}
	}
	for _, t := range s.Ions {
		if !okAmount(t.Amount) {
			return fmt.Errorf("chem: %s: %w, got %g mmol", t.Ion.Name, ErrAmount, t.Amount.Millimoles())
		}
	}
	if !okAmount(Amount(s.Room)) {
		return fmt.Errorf("chem: %w, got %g mL of solutes", ErrAmount, s.Room.Millilitres())
	}
	if s.Water == 0 && s.Solutes() > mostSolutes*s.Volume {
		return fmt.Errorf("chem: %w: the solutes alone take %.1f of %.1f mL", ErrAbsurd, s.Solutes().Millilitres(), s.Volume.Millilitres())
	}
	return nil
}

// mostSolutes is the share of a volume that solutes may take up: of 90 % of
// glycerol in water there is no pH to speak of.
const mostSolutes = 0.9

func okAmount(a Amount) bool { return a >= 0 && !math.IsInf(float64(a), 0) }

func addSystem(list []SystemTotal, t SystemTotal) []SystemTotal {
	i := slices.IndexFunc(list, func(x SystemTotal) bool { return x.System.Name == t.System.Name })
	if i < 0 {
		return append(list, t)
	}
	list[i].Amount += t.Amount
	return list
}

func addIon(list []IonTotal, t IonTotal) []IonTotal {
	i := slices.IndexFunc(list, func(x IonTotal) bool { return x.Ion == t.Ion })
	if i < 0 {
		return append(list, t)
	}
	list[i].Amount += t.Amount
	return list
}
