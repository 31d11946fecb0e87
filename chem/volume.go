package chem

import (
	"cmp"
	_ "embed"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/volumes.csv
var volumesCSV string

// ionVolumes are the partial molar volumes of strong ions at infinite dilution
// and 25 °C, mL/mol, where that of H⁺ is zero.
var ionVolumes = csvrows.Once(func() (map[string]float64, error) { return readVolumes(volumesCSV) })

func readVolumes(text string) (map[string]float64, error) {
	out := map[string]float64{}
	err := csvrows.Each(text, 4, "chem: volumes", func(r []string) error {
		v, err := strconv.ParseFloat(r[1], 64)
		if err != nil || r[0] == "" || strings.TrimSpace(r[2]) == "" || r[3] != "seen" && r[3] != "memory" && r[3] != "choice" {
			return errors.New("needs an ion, a number, a source and where it comes from")
		}
		out[r[0]] = v
		return nil
	})
	return out, err
}

// hydroxideVolume is that of OH⁻, mL/mol: Shock & Helgeson, Geochim. Cosmochim.
// Acta 52, 2009 (1988).
const hydroxideVolume = -4.18

// saltRoom is how much more room ions take the stronger a solution is: mL per
// litre and (mol/L)^1.5 of ionic strength. O. Redlich & D. M. Meyer, Chem. Rev.
// 64, 221 (1964), the limiting slope at 25 °C; from memory. It holds far beyond
// the limiting law: 3 M sodium chloride and 2 M ammonium sulfate are met, and the
// concentrates of acids and bases come within a tenth.
const saltRoom = 1.868

// ionRoom is the volume of a strong ion.
func ionRoom(x Ion) float64 {
	t := ionVolumes()
	if v, ok := t[x.Name]; ok {
		return v
	}
	if x.Charge > 0 {
		return t["cation"]
	}
	return t["anion"]
}

// Solutes is the volume that what is dissolved takes up: by the partial molar
// volumes of the ions and of the forms in which the systems are there, as far
// as the pK alone tell, and the room that ions take beside each other. It is
// meant for 25 °C and good to about 5 mL per litre.
func (s Solution) Solutes() Volume {
	if s.Volume <= 0 {
		return s.Room
	}
	strength, ml := 0.0, 0.0
	charge := 0.0
	for _, t := range s.Ions {
		n, z := t.Amount.Moles(), float64(t.Ion.Charge)
		charge += z * n
		strength += z * z * n
		ml += n * ionRoom(t.Ion)
	}
	z2, v := s.forms(charge)
	strength = (strength + z2) / 2 / s.Volume.Litres()
	ml += v
	ml += saltRoom * math.Pow(max(0, strength), 1.5) * s.Volume.Litres()
	return s.Room + Volume(ml)*Millilitre
}

// forms spreads the protons over the systems, the strongest acids without: it
// gives Σ z²n and the volume, in mL, of the forms that balance a charge of
// strong ions, and of H⁺ or OH⁻ where the systems do not.
func (s Solution) forms(charge float64) (z2, ml float64) {
	type step struct {
		pk  float64
		sys *System
		j   int
		n   float64
	}
	var list []step
	lose := charge
	for _, t := range s.Systems {
		n := t.Amount.Moles()
		z := float64(t.System.Charge)
		lose += n * z
		z2 += n * z * z
		ml += n * t.System.volume(0)
		for j, st := range t.System.Steps {
			list = append(list, step{st.PK, t.System, j, n})
		}
	}
	slices.SortStableFunc(list, func(a, b step) int { return cmp.Compare(a.pk, b.pk) })
	if lose < 0 { // acid that nothing takes up
		return z2 - lose, ml
	}
	for _, x := range list {
		n := math.Min(x.n, lose)
		lose -= n
		z := float64(x.sys.Charge - x.j)
		z2 += n * ((z-1)*(z-1) - z*z)
		ml += n * (x.sys.volume(x.j+1) - x.sys.volume(x.j))
	}
	return z2 + lose, ml + lose*hydroxideVolume
}

// volume is that of the form that has lost j protons, mL/mol.
func (s *System) volume(j int) float64 {
	if j < len(s.Forms) {
		return s.Forms[j].Volume
	}
	return 0
}
