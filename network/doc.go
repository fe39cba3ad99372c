// Package network is the lumped model of a device: some twenty to thirty
// nodes joined by links, one of the nodes being the melting store.
//
// Build derives nodes and links from a design; Run integrates them through a
// whole trial. Everything that moves heat is a link with a flow from one end
// to the other, and every node's energy changes by the flows of its links and
// by nothing else, so energy is conserved to rounding whatever the step size.
// Water is kept the same way.
//
// The integrator is ROS2 (Verwer, Spee, Blom and Hundsdorfer, SIAM J. Sci.
// Comput. 20 (1999) 1456-1480): linearly implicit, L-stable, second order for
// any approximation of the Jacobian. The approximation used here is the
// matrix of link conductances, which is symmetric and positive definite and
// keeps the flows antisymmetric.
package network
