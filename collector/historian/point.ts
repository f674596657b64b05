/** One point of a time series. The same measurement, tags and time is the same point: written twice it is there once. */
export interface HistorianPoint {
  readonly measurement: string;
  readonly tags: Readonly<Record<string, string>>;
  /** Numbers are finite. */
  readonly fields: Readonly<Record<string, number | string>>;
  /** Epoch ms. */
  readonly time: number;
}
