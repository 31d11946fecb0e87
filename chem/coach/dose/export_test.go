package dose

// Allowed is the chance that the next addition may have, Last one that may well be the last,
// and Most how many drops lead a little short of the aim.
func (d *Dosing) Allowed() float64 { return d.chanceOf() }
func (d *Dosing) Last() float64    { return d.last() }
func (d *Dosing) Most() float64    { return d.most() }
