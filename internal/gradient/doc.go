// Package gradient is what shapes were painted with where a file did not paint
// them flat: linear and radial gradients as SVG 2 (14.2) defines them, where
// along one a place is, and how one is cut into bands of flat colour. It knows no
// layers; package job makes layers of bands.
//
// Its files in the order of reading: gradient, divide, cone, strip.
package gradient
