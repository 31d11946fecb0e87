package calib

// ReadStandards lets a test hand in a damaged table.
func ReadStandards(data []byte) error {
	_, err := readStandards(data)
	return err
}

// JointDip is a dip for a test.
type JointDip struct {
	T, Y []float64
	Gap  float64
}

// Joint is the joint fit.
func Joint(dips []JointDip) (mv []float64, cov [][]float64, fast, late, noise float64) {
	var list []approach
	for _, d := range dips {
		a := approach{gap: d.Gap, step: 0.1}
		for i := range d.T {
			a.bins = append(a.bins, bin{d.T[i], d.Y[i], 1})
		}
		list = append(list, a)
	}
	e, _ := joint(list)
	for i := range list {
		mv = append(mv, e.mv[i])
		cov = append(cov, e.cov[i][:])
	}
	return mv, cov, e.fast, e.late, e.sd
}
