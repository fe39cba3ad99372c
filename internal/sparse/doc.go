// Package sparse solves large symmetric, positive definite systems whose entries
// off the diagonal are 0 or below, as conduction makes them: conjugate gradients
// with an incomplete factorisation or algebraic multigrid. Work is shared among
// all cores in blocks of fixed size; results are the same on any number of them.
package sparse
