/** SI units as branded numbers: a mix-up of seconds and ohms does not compile. */

declare const unit: unique symbol
type Quantity<U extends string> = number & { readonly [unit]: U }

export type Seconds = Quantity<'s'>
export type Volts = Quantity<'V'>
export type Ohms = Quantity<'Ω'>
export type Amperes = Quantity<'A'>
export type Farads = Quantity<'F'>

export const seconds = (value: number): Seconds => value as Seconds
export const volts = (value: number): Volts => value as Volts
export const ohms = (value: number): Ohms => value as Ohms
export const amperes = (value: number): Amperes => value as Amperes
export const farads = (value: number): Farads => value as Farads
