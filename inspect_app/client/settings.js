/** How patient the client is, in ms; pages leave it alone, tests make it hurry. */
export const settings = {
  syncTimeout: 20000,
  photoTimeout: 90000,
  pollTimeout: 20000,
  retryBase: 1500,
  retryCap: 60000,
  pollEvery: 5000,
  /** how long an item that the server would not read is left alone */
  setAside: 60000,
  batch: 200,
};
