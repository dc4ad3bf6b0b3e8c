// Package paint turns layers and plans into pixels. It knows no window: the
// board calls it from a background goroutine and shows what comes back.
//
// The unit is the world pixel: pixel (i, j) covers the board from
// (i, j)/scale to (i+1, j+1)/scale millimetres. A frame shows world pixels
// shifted by a whole number, so masks survive panning, and a layer that is
// dragged by whole pixels keeps its mask too.
//
// Each layer has one alpha mask in its own box. Composing, counting what
// stacks and hit testing all read those masks, so they cannot disagree.
package paint
