// Package trace turns a picture of pixels into layers of flat colour whose edges
// are shared: what comes out touches everywhere and stacks nowhere.
//
// # How it works
//
//  1. The file is read (PNG, JPEG turned as its Exif block says, TIFF, GIF, BMP, WebP);
//     its size is looked at before anything is made of it. Colours
//     are made sRGB and premultiplied: transparent is an ink like the others, called bare.
//     Shades that were dithered, as in GIF, become shades again. A picture that was cut out of a
//     page, pixel by pixel, has the fringe taken off that its edges have of that page.
//     One that was scaled up, or blurred, is made as small as it shows: by the width of
//     its sharpest edges, by pixels that were repeated. What comes out is scaled back.
//     Soft shadows and glows around what was drawn are left out.
//     What is from a scanner or a camera has its grain smoothed and its light evened
//     first, and the shadow of who took it; it is looked at for a sheet of paper.
//  2. The inks are found: colours of flat areas first, joined where they look alike
//     (CIEDE2000). What is left must be a blend of two or three inks around it
//     or, where edges were sharpened, go beyond one by as much as brightness does in this
//     picture; where it is not, there is an ink that has only thin lines, which is added. So
//     neither the blends of a smoothed edge nor what a lossy file leaves beside it
//     count, and a small red button does.
//  3. Each pixel goes to the ink of which it has more. In a lossy file a line of two
//     pixels is looked at as a whole: it has one ink. Specks go to what is around
//     them, but for dots that stand out. Where less than half of each pixel of a line is its own,
//     as in the thin strokes of letters, it goes to the ink of which there is more than on
//     either side, and what would vanish as a whole gets the ink it is a paler blend of, or
//     one of its own. A picture full of crumbs that differ little from what is around them is one
//     of pencils or crayons: it is made smaller until strokes and paper run together.
//  4. The borders between pixels of different inks are one network of chains, each
//     between two junctions and with one ink on either side. Where its edge runs is
//     read off the blends along rows across it, to some hundredths of a pixel. Where edges were
//     not smoothed it is read off the stairs, to some tenths.
//  5. Each chain is fitted once: dynamic programming finds the cheapest course of
//     lines and arcs, leaving out points that a corner has spoilt; corners are where
//     two pieces cross that differ in direction, junctions where the pieces of their
//     chains meet; smooth runs become cubic Béziers. Where chains would cross they
//     follow their rows instead. Both sides get the same curve.
//
// Its sources: P. Selinger, "Potrace: a polygon-based tracing algorithm", 2003, for
// what is joined where pixels touch at corners; M. Plass and M. Stone,
// "Curve-fitting with piecewise parametric cubics", 1983, for the dynamic
// programming; S. Hoshyari et al., "Perception-driven semi-structured boundary
// vectorization", 2018, and E. Dominici et al., "PolyFit", 2020, for what people
// take for a corner; I. Kåsa, 1976, for circles; P. J. Schneider, 1990, for cubics.
//
// Its files in the order of reading: errors, picture, tiff, exif, profile, read, blend, light, palette,
// resolution, shadow, even, dither, sums, screen, matte, soft, areas, label, regions, refine, strokes, leaks, faint, discover, specks, choose,
// network, stairs, edge, rows, course, sheet, texture, curve, join, cross, beneath, svg, trace.
package trace
