/** How patient the client is, in ms; pages leave it alone, tests make it hurry. */
export const settings = {
  syncTimeout: 20000,
  photoTimeout: 90000,
  pollTimeout: 20000,
  retryBase: 1500,
  retryCap: 60000,
  pollEvery: 5000,
  /** how often a page without news of its own looks whether the server is there and knows us */
  lookEvery: 20000,
  /** how long an item that the server would not read is left alone */
  setAside: 60000,
  batch: 200,
  /** how long a page is left alone before what it keeps for the time without a server is fetched, and how often after */
  keepAfter: 4000,
  keepEvery: 60000,
  /** how long what is kept waits for a newer answer */
  patience: 2500,
};
