// Package live takes in what sensors and cameras give while a trial runs: lines
// from a serial port or standard input, messages from an MQTT broker, pictures
// in a folder. Readings are on the disk, in the notebook, within a second of
// their arrival.
//
// Nothing here asks the network for anything but the broker that the user
// names.
package live
