// Package next says which trial teaches most for its time: it simulates what
// candidate trials would show in each draw of what is unknown, and works out
// how much narrower each would make the run time, how much better a choice
// among designs it would allow, and for how many hours of work.
package next
