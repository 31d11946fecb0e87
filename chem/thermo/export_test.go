package thermo

// Permittivity lets a test see it.
var Permittivity = permittivity
