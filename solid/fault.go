package solid

// Fault is why a design has no printable parts: the key at fault, what is wrong
// and what would be right.
type Fault struct{ Key, What, Right string }

func (f *Fault) Error() string { return f.Key + ": " + f.What + "; right: " + f.Right }
