/** Every number capture goes by, with the rule of capture.md it comes from. Times in seconds. */
import { seconds } from '../quantity/units'

/** Rule 1: a repeated frame is a new conversion once this share of a conversion time has passed. */
export const CONVERSION_SHARE = 0.8
/** Rule 1: conversion time taken until it is described or measured and the frame time is known. */
export const UNMEASURED_FRAME = seconds(0.5)
/**
 * Rule 1: changes of the digits, times the frames a conversion, that are enough to measure the conversion time from (12 changes for a
 * frame repeated once: by chance all of them would be even in one of ten thousand); enough to say that none is repeated; and how many
 * frames apart two changes may be to tell anything.
 */
export const CHANGES_TIMES_FRAMES = 24
export const CHANGES_TO_MEASURE = 8
export const TELLING_FRAMES = 12
/** Rule 1: frames are stamped as they arrive: up to so much late (16 ms in a USB adapter, and the computer's own; from memory). */
export const ARRIVAL_JITTER = seconds(0.03)
/** Rule 1: frames closer than this came in one piece of the serial stream. */
export const SAME_PIECE_SECONDS = seconds(0.004)
/** Rule 1: changes and frame gaps remembered to measure from. */
export const GAPS_REMEMBERED = 16
/** Rule 1: conversions dropped after contact, a jump or a change of range: part of them was something else. */
export const DROPPED_CONVERSIONS = 1

/** Rule 2: volts this near zero are air where no pattern is known; a learned pattern is taken this much wider on each side. */
export const AIR_COUNTS = 3
/** Rule 2: how many counts further a reading must go to end an air run than to begin one. */
export const AIR_HYSTERESIS_COUNTS = 2
/** Rule 2: above this, fingers on the tips carry a current the meter sees. */
export const FINGERS_OHMS = 200e3

/** Rule 3: a frame that stood in the step before and this long in the present one is frozen. */
export const FROZEN_SECONDS = seconds(5)

/** Rule 5: silence is three usual frame times, and never less than 2 s. */
export const SILENT_FRAMES = 3
export const SILENT_SECONDS = seconds(2)
/** Rule 5: a shorter gap than silence that breaks a contact: three usual frame times, and never less than this. */
export const GAP_SECONDS = seconds(0.5)

/** Rule 6: below this share of full scale, on any but the lowest range, the meter is still ranging ... */
export const RANGING_SHARE = 0.08
/** ... unless the range has stood this long; two ranges alternating this long is hunting. */
export const RANGE_STANDS_SECONDS = seconds(3)
/** Rule 6: one count may be at most this share of the limit or of the limits' width. */
export const COARSE_SHARE = 0.1
/** Rule 6: a value this many counts outside its limits is told from a good one however coarse the count. */
export const CLEAR_COUNTS = 10

/** Rule 7: unbroken air before a confirmation counts. */
export const AIR_SECONDS = seconds(1)
/** Rule 7: air conversions whose value and raw frames are kept. */
export const AIR_CONVERSIONS_KEPT = 16

/** Rule 8: B = max(3 counts, 0.5 % of the value). */
export const BAND_COUNTS = 3
export const BAND_SHARE = 0.005
/** Rule 8: one conversion in ten may lie outside B, for the extremes of a long window grow with their number; none below ten. */
export const SPREAD_OUTLIER_SHARE = 1 / 10
/** Rule 8: a finger of 200 kΩ wavers, so from here up it may be one: there standing still is within max(2 counts, 0.3 %). */
export const FINGER_LEAST_OHMS = 150e3
export const FINGER_BAND_COUNTS = 2
export const FINGER_BAND_SHARE = 0.003
/** Rule 8: there the window holds so many conversions; one fewer where the one that made contact agrees, the usual number after 5 R·C. */
export const FINGER_CONVERSIONS = 5
/**
 * Rule 8: there, on a display so coarse that one count is more than this share of the value, a finger hides within two counts: all since
 * contact lies within one count but for one in seven (the window alone after 5 R·C, four conversions at least, or where the value came
 * up from below 95 % of itself, as what charges does) ...
 */
export const FINGER_COARSE_SHARE = 0.002
export const FINGER_COARSE_COUNTS = 1
export const FINGER_OUTLIER_CONVERSIONS = 7
export const FINGER_CHARGED_FROM = 0.95
/** Rule 8: ... and where one count is more than this share, nothing but time tells: it stands as long as a grip is given. */
export const FINGER_BLIND_SHARE = 0.005
/** Rule 8: above this, parts on a board are rare and fingers are not (common practice, no source): it stands as long as a grip is given. */
export const PARTS_RARE_OHMS = 2e6
/**
 * Rule 8: there, a value that has come down since contact, by less than a fifth and by more than that B and 1.5 counts of the range it
 * stood on, may be a grip that closes: W is 3 s at least.
 */
export const GRIP_CLOSES_BY = 1.25
export const GRIP_COUNTS = 1.5
export const WINDOW_GRIP = seconds(3)
/** Rule 8: conversions kept since contact to tell a grip by; once contact is this old, W is as long as a grip is given anyway. */
export const GRIP_HISTORY = seconds(9)
/** Rule 8: W = max(0.6 s, a third of the time since contact), no longer than 20 s. */
export const WINDOW_SECONDS = seconds(0.6)
export const WINDOW_SHARE = 1 / 3
export const WINDOW_MOST = seconds(20)
/**
 * Rule 8: W at its least where the conversion time is not known, in functions that often take seconds: a repeated first frame must
 * not pass for steady. In the others 0.6 s covers every meter that converts 1.7 times a second or faster.
 */
export const WINDOW_UNMEASURED = seconds(0.9)
/** Rule 8: allowed on W. */
export const WINDOW_JITTER = ARRIVAL_JITTER
/** Rule 8: least conversions in the window that is judged. */
export const STEADY_CONVERSIONS = 3
/**
 * Rule 8: least conversions, and their least span, since contact or the last jump, the one dropped counted where it agrees. A slip
 * shorter than the dwell can hold three whole ones and parts of two more, or as many as span 0.6 s; W jitters.
 */
export const UNBROKEN_CONVERSIONS = 5
export const UNBROKEN_SECONDS = seconds(0.62)
/** Rule 8: the last conversion on the range before counts for those two when it is within so many of its counts. */
export const RANGES_AGREE_COUNTS = 1.5
/** Rule 8: windows tried: the shortest, and so many conversions longer. */
export const LONGER_WINDOWS = 3
/** Rule 8: trend bound max(1.5 counts, B/3). */
export const TREND_COUNTS = 1.5
export const TREND_BAND_SHARE = 1 / 3
/** Rule 8: what noise of half a count adds to that bound; not where it may be a grip that closes. */
export const TREND_NOISE_COUNTS = 0.5
/** Rule 8: R·C above which 5 R·C is waited for; above 20 s that is said beforehand. */
export const RC_MATTERS = seconds(0.1)
export const RC_WAITS = 5
export const LONG_WAIT = seconds(20)
/** Rule 8: unbroken contact without a steady value before a moving one is offered, and over which it must be monotone. */
export const MOVING_SECONDS = seconds(20)
/** Rule 8: one point a second of the way a moving value came. */
export const PATH_SECONDS = seconds(1)
/** Rule 8: conversions closer than this to the one before add nothing; keeps the history bounded. */
export const CLOSEST_CONVERSIONS = seconds(0.04)

/** Rule 9: two touches agree when they differ by at most 2·B. */
export const TOUCHES_AGREE_BANDS = 2

/** Rule 11: at or above this many conversions a second a lift takes two air conversions, below it one. */
export const FAST_CONVERSIONS = 5

/** Rule 12: lead resistance is taken off readings under this. */
export const LEAD_MATTERS_OHMS = 100
/** Rule 13: a resistance, continuity or diode reading further than this below zero means a charged board. */
export const CHARGED_COUNTS = 3

/** Figures that are whole counts compare equal within this part of a count, whatever the computer's arithmetic leaves over. */
export const ROUNDING_COUNTS = 0.01
