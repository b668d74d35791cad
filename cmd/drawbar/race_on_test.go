//go:build race

package main

// raceDetector is set where the tests were built with -race.
const raceDetector = true
