// Package field solves heat conduction with melting on rectangular grids by
// finite volumes: planar (x, y), axisymmetric (r, z) and box (x, y, z).
//
// A Problem states the grid, the material of every cell, what acts on faces,
// contacts and sources; Steady and Transient solve it. All quantities are SI,
// temperatures in kelvin. In every cell
//
//	V dH/dt = sum over faces of G (T' - T) + V q
//
// with H the enthalpy per volume, T(H) its temperature, and G the conductance
// of the path from node to node: two half cells in series (the harmonic mean,
// Patankar, Numerical Heat Transfer and Fluid Flow, 1980, section 4.2-3, from
// memory), with the contact between them. The radial path is that of a shell,
// ln(r2/r1)/(2 pi k height), so concentric layers come out exact. The node of
// a ring stands at
//
//	r = sqrt((a^2 + a b + b^2)/3)
//
// between its edges a and b: there the logarithmic path is exact to fourth
// order for T = r^2 too, so that the axis does not spoil the second order.
//
// Melting follows the enthalpy form (Voller and Cross, Int. J. Heat Mass
// Transfer 24 (1981) 545, from memory): a cell stays at its melting
// temperature while its liquid share goes from 0 to 1. The front is where the
// shares say; a cell's own temperature near it moves in steps of a cell.
//
// # Time
//
// Backward Euler, or SDIRK2 (Alexander, SIAM J. Numer. Anal. 14 (1977) 1006,
// from memory): two stages, second order, L-stable. Every stage is solved by
// Newton's method; a melting cell holds its temperature within an iteration,
// so that the matrix is symmetric and positive definite. What the iteration leaves is booked
// by the flows themselves, so energy closes to rounding.
//
// # Linear solver and its cost
//
// Conjugate gradients, preconditioned by an incomplete factorisation for small
// problems and by algebraic multigrid for large ones: aggregates of about four
// cells along the strongest couplings, Galerkin coarse matrices, block
// Gauss-Seidel smoothing and a K-cycle (Notay, Electron. Trans. Numer. Anal. 37
// (2010) 123, from memory). Strength, not geometry, says what is joined, so
// graded spacing and layers of strongly different conductivity need no care.
// Work is shared among all cores in blocks of fixed size; results are the same
// on any number of cores.
//
// BenchmarkSteady, a box of layers from 0.025 to 200 W/(m K) on a graded grid,
// on two cores: steps of the gradients and time per cell hardly grow with
// multigrid, while the factorisation's steps grow with the cells along an edge.
//
//	cells     multigrid                 factorisation
//	  1 728   18 steps   6 ms   3 us    41 steps   4 ms   2 us
//	 13 824   22 steps  63 ms   5 us   101 steps  56 ms   4 us
//	 74 088   23 steps 0.31 s   4 us   183 steps 0.41 s   6 us
//	216 000   25 steps 0.97 s   4 us   259 steps 1.6 s    7 us
//	592 704   26 steps 2.6 s    4 us   (292 MB resident)
package field
