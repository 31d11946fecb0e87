package solved_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/chem/thermo"
	"github.com/stretchr/testify/require"
)

// strongRow is one row of testdata/published/strong_buffers.csv: a figure of a
// strong buffer or of an acid in a salt, with its source.
type strongRow struct {
	id, family, composition, quantity string
	temp                              chem.Celsius
	value, uncertainty                float64
}

func readStrong(t testing.TB) []strongRow {
	rows := rowsOf(t, "strong_buffers.csv")
	var out []strongRow
	for _, r := range rows {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		require.NotEmpty(t, r[8], "a row without a source")
		out = append(out, strongRow{r[0], r[1], r[2], r[4], chem.Celsius(num(3)), num(5), num(6)})
	}
	return out
}

// traceOf is a system of which a composition holds a trace, and the charge at
// which the two forms that the row is about are there in equal parts.
var traceOf = map[string]struct {
	system string
	charge float64
}{
	"HPO4": {"phosphate", -1.5}, "H2PO4": {"phosphate", -0.5}, "CO3": {"carbonate", -1.5}, "HCO3": {"carbonate", -0.5},
	"borate": {"borate", -0.5}, "acetate": {"acetate", -0.5}, "imidazole": {"imidazole", 0.5},
}

// systemOf are the systems that a composition gives by an ion.
var systemOf = map[string]string{"Mg": "magnesium", "Ca": "calcium", "SO4": "sulfate", "TrisH": "Tris", "Tris": "Tris"}

// trace is what is taken for one: enough to buffer, too little to matter.
const trace = 1e-3

// solutionOf is the solution of "Na2HPO4=0.1 M; KH2PO4=0.018 M" or "NaCl=1.0 m":
// per litre or per kilogram of water.
func solutionOf(t testing.TB, text string, temp chem.Celsius) chem.Solution {
	s := chem.Solution{Volume: chem.Litre, Temp: temp}
	for item := range strings.SplitSeq(text, ";") {
		item = strings.TrimPrefix(strings.TrimSpace(item), "medium ")
		if name, ok := strings.CutSuffix(item, " trace"); ok {
			x, known := traceOf[name]
			require.True(t, known || name == "HCl", name)
			if known {
				s = add(t, add(t, s, x.system, trace), "", -x.charge*trace)
			}
			continue
		}
		name, amount, _ := strings.Cut(item, "=")
		num, unit, _ := strings.Cut(amount, " ")
		n, err := strconv.ParseFloat(num, 64)
		require.NoError(t, err)
		if unit == "m" {
			s.Water = chem.Kilogram
		}
		s = add(t, s, name, n)
	}
	return s
}

// add puts n mol of a reagent, an ion, a form or a system into a solution;
// without a name, of sodium or chloride that carry the charge n.
func add(t testing.TB, s chem.Solution, name string, n float64) chem.Solution {
	strong := func(name string, z int) chem.Solution {
		return chem.Mix(s, chem.Solution{Ions: []chem.IonTotal{{Ion: chem.Ion{Name: name, Charge: z}, Amount: chem.Amount(math.Abs(n))}}})
	}
	switch {
	case name == "" && n > 0, name == "Na":
		return strong("Na+", 1)
	case name == "K":
		return strong("K+", 1)
	case name == "", name == "Cl":
		return strong("Cl-", -1)
	}
	if sys, ok := systemOf[name]; ok {
		name = sys
	}
	if x, err := table.System(name); err == nil {
		return chem.Mix(s, chem.Solution{Systems: []chem.SystemTotal{{System: x, Amount: chem.Amount(n)}}})
	}
	r, err := table.ByAmount(strings.NewReplacer("NaOAc", "sodium acetate", "KOAc", "potassium acetate").Replace(name))
	require.NoError(t, err, name)
	return chem.Mix(s, r.Dissolved(chem.Amount(n)))
}

// miss is what the model makes of the row.
//
// pK′ is −log of the constant in concentrations, mol/L; pH_total and pK_total
// count HSO₄⁻ as free acid and are per kilogram of solution; pE is −log of the
// product of the activities of H⁺ and Cl⁻; log_gamma_pm is the mean coefficient.
func (r strongRow) miss(t testing.TB) (miss, bool) {
	s := solutionOf(t, r.composition, r.temp)
	res, err := solved.Describe(s)
	require.NoError(t, err, r.id)
	x := miss{family: "strong: " + r.family, name: r.id + " " + r.composition, strength: res.Strength, spread: res.Spread, own: r.uncertainty, parts: res.Doubts.Parts}
	if r.quantity != "pH" { // constants in concentrations and cells without a junction know no single ion, and closed cells no air
		x.spread, x.parts = asStandard(res.Doubts), partsOfStandard(res.Doubts)
	}
	m := map[string]solved.Species{}
	for _, sp := range res.Species {
		m[sp.Name] = sp
	}
	lg := math.Log10
	switch r.quantity {
	case "pH":
		x.err = res.PH - r.value
	case "pK1'", "pK2'", "pK'":
		acid, base := pairOf(t, r, m)
		x.err = -lg(m["H+"].Molarity*base.Molarity/acid.Molarity) - r.value
	case "pKw'":
		x.err = -lg(m["H+"].Molarity*m["OH-"].Molarity) - r.value
	case "pH_total":
		x.err = -lg((m["H+"].Molality+m["HSO4-"].Molality)/solutionMass(s)) - r.value
	case "pK_total":
		acid, base := pairOf(t, r, m)
		for _, sp := range res.Species { // borate in all: bound to magnesium and calcium too
			if sp.Complex != nil && sp.Complex.Metal != "" && sp.System == "borate" {
				base.Molality += sp.Molality
			}
		}
		x.err = -lg((m["H+"].Molality+m["HSO4-"].Molality)/solutionMass(s)*base.Molality/acid.Molality) - r.value
	case "pE":
		x.err = res.PH - lg(molalityOf(s, "Cl-")) - chlorideLogGamma(res) - r.value
	default:
		return x, false
	}
	return x, true
}

// pairOf are the two forms that a constant is about.
func pairOf(t testing.TB, r strongRow, m map[string]solved.Species) (acid, base solved.Species) {
	names := map[string][2]string{
		"HPO4": {"H2PO4-", "HPO4(2-)"}, "H2PO4": {"H3PO4", "H2PO4-"}, "CO3": {"HCO3-", "CO3(2-)"}, "HCO3": {"CO2", "HCO3-"},
		"borate": {"B(OH)3", "B(OH)4-"}, "acetate": {"acetic acid", "acetate-"}, "imidazole": {"H imidazole+", "imidazole"},
	}
	for k, p := range names {
		if strings.Contains(r.composition, " "+k+" trace") {
			require.Contains(t, m, p[0])
			require.Contains(t, m, p[1])
			return m[p[0]], m[p[1]]
		}
	}
	t.Fatal(r.composition)
	return
}

func molalityOf(s chem.Solution, ion string) float64 {
	for _, x := range s.Ions {
		if x.Ion.Name == ion {
			return x.Amount.Moles() / s.WaterMass().Kilograms()
		}
	}
	return math.NaN()
}

// chlorideLogGamma is the convention of Bates and Guggenheim.
func chlorideLogGamma(r *solved.Result) float64 {
	root := math.Sqrt(r.Strength)
	return -thermo.DebyeHuckelA(thermo.Ref) * root / (1 + 1.5*root)
}

// solutionMass is the mass of a sea-water-like solution per kg of its water.
func solutionMass(s chem.Solution) float64 {
	g := 0.0
	for _, x := range s.Ions {
		g += x.Amount.Moles() * map[string]float64{"Na+": 22.990, "K+": 39.098, "Cl-": 35.45}[x.Ion.Name]
	}
	for _, x := range s.Systems {
		g += x.Amount.Moles() * map[string]float64{"magnesium": 24.305, "calcium": 40.078, "sulfate": 96.06, "Tris": 121.64, "borate": 61.8}[x.System.Name]
	}
	return 1 + g/1e3/s.WaterMass().Kilograms()
}
