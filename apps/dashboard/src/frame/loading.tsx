import styles from './frame.module.css'

export const Loading = ({ what }: { what: string }) => (
  <p role="status" className={styles.loading}>
    Fetching {what} …
  </p>
)
